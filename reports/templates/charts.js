"use strict";
(() => {
  const options = {
    mode: "vega-lite",
    ast: true,
    renderer: "svg",
    actions: false,
    defaultStyle: false,
    tooltip: { disableDefaultStyle: true },
  };
  const NARROW = 760;
  const BESIDE = 108;
  const LETTER = 7;
  const TICK = 70;
  // Break a title into lines that fit a width in pixels.
  const lines = (title, width) =>
    title.split(" ").reduce(
      (found, word) => {
        const longer = (found[found.length - 1] + " " + word).trim();
        if (longer.length * LETTER <= width) found[found.length - 1] = longer;
        else found.push(word);
        return found;
      },
      [""],
    );
  // On a narrow screen each label moves above its row, so that the plot keeps the width.
  const fitted = (specification, room) => {
    if (room > NARROW) return specification;
    if (specification.hconcat) {
      const { hconcat, ...rest } = specification;
      return { ...rest, vconcat: hconcat.map((panel) => fitted(panel, room)) };
    }
    if (typeof specification.width !== "number") return specification;
    const twoLines = "indexof(datum.value, '\\n') >= 0";
    for (const layer of specification.layer) {
      const rows = layer.encoding.y;
      const across = layer.encoding.x;
      if (across && across.title) across.title = lines(across.title, room - BESIDE);
      const ticks = Math.max(2, Math.floor((room - BESIDE) / TICK));
      if (across && across.axis) across.axis = { ...across.axis, tickCount: Math.min(ticks, across.axis.tickCount || 5) };
      if (!rows) continue;
      rows.axis = {
        ...rows.axis,
        labelAlign: "left",
        labelPadding: 0,
        labelLimit: room,
        labelOffset: { condition: { test: twoLines, value: -32 }, value: -17 },
      };
    }
    return { ...specification, width: room - BESIDE, height: { step: 60 } };
  };
  for (const chart of document.querySelectorAll(".chart")) {
    const name = chart.id.replace("chart-", "spec-");
    const specification = JSON.parse(document.getElementById(name).textContent);
    lostrootEmbed(chart, fitted(specification, chart.closest("figure").clientWidth), options).then(
      () => {
        // The box around the drawing carries its name and description, once.
        for (const svg of chart.querySelectorAll("svg")) svg.setAttribute("aria-hidden", "true");
        chart.setAttribute("data-drawn", "yes");
      },
      (error) => console.error(name + ": " + error.message),
    );
  }
  addEventListener("beforeprint", () => {
    for (const folded of document.querySelectorAll("details.behind")) folded.open = true;
  });
})();
