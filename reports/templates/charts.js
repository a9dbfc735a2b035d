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
  for (const chart of document.querySelectorAll(".chart")) {
    const name = chart.id.replace("chart-", "spec-");
    const specification = JSON.parse(document.getElementById(name).textContent);
    lostrootEmbed(chart, specification, options).then(
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
