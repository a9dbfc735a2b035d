"use strict";
(() => {
  // What a mark has to tell stays while the pointer is on it, and closes with Escape.
  const tip = document.createElement("dl");
  tip.className = "tip";
  tip.hidden = true;
  document.body.append(tip);
  let leaving = 0;
  const hide = () => { tip.hidden = true; };
  const leave = () => {
    clearTimeout(leaving);
    leaving = setTimeout(() => tip.matches(":hover") || hide(), 300);
  };
  const tell = (event, value) => {
    clearTimeout(leaving);
    tip.replaceChildren(
      ...Object.entries(value).map(([name, text]) => {
        const pair = document.createElement("div");
        for (const [kind, words] of [["dt", name], ["dd", text]]) {
          const part = document.createElement(kind);
          part.textContent = String(words);
          pair.append(part);
        }
        return pair;
      }),
    );
    tip.hidden = false;
    const most = document.documentElement.clientWidth - tip.offsetWidth - 8;
    tip.style.left = Math.max(0, Math.min(event.pageX + 6, most)) + "px";
    tip.style.top = event.pageY + 6 + "px";
  };
  tip.addEventListener("pointerleave", leave);
  addEventListener("keydown", (event) => { if (event.key === "Escape") hide(); });
  const options = {
    mode: "vega-lite",
    ast: true,
    renderer: "svg",
    actions: false,
    defaultStyle: false,
    tooltip: (_handler, event, _item, value) => (value ? tell(event, value) : leave()),
  };
  const NARROW = 760;
  const FULL = 960;
  const BESIDE = 116;
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
    if (room > NARROW) {
      const more = Math.max(0, room - FULL);
      if (specification.hconcat) for (const panel of specification.hconcat) panel.width += more / 2;
      else if (typeof specification.width === "number") specification.width += more;
      return specification;
    }
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
      if (across && across.axis) across.axis = { ...across.axis, grid: false, tickCount: Math.min(ticks, across.axis.tickCount || 5) };
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
  // Below the finding stands where the page has what.
  for (const heading of document.querySelectorAll("h2")) {
    const link = document.createElement("a");
    link.href = "#" + heading.id;
    link.textContent = heading.textContent;
    const item = document.createElement("li");
    item.append(link);
    document.querySelector(".within").append(item);
  }
  // A grid is one stop of the tab key; arrows move in it, Enter and a click open a cell.
  const cells = (grid) => [...grid.rows].slice(1).map((row) => [...row.cells].slice(1));
  const close = (grid) => {
    for (const cell of grid.querySelectorAll("[aria-expanded=true]")) {
      cell.setAttribute("aria-expanded", "false");
      document.getElementById(cell.dataset.opens).hidden = true;
    }
  };
  const open = (cell) => {
    const grid = cell.closest("table");
    const was = cell.getAttribute("aria-expanded") === "true";
    close(grid);
    if (was || !cell.dataset.opens) return;
    cell.setAttribute("aria-expanded", "true");
    document.getElementById(cell.dataset.opens).hidden = false;
  };
  const MOVES = { ArrowLeft: [0, -1], ArrowRight: [0, 1], ArrowUp: [-1, 0], ArrowDown: [1, 0] };
  const stop = (cell) => {
    for (const other of cell.closest("table").querySelectorAll("td")) other.tabIndex = -1;
    cell.tabIndex = 0;
  };
  for (const grid of document.querySelectorAll("table.grid")) {
    stop(grid.querySelector("td[data-week]"));
    grid.addEventListener("click", (event) => {
      const cell = event.target.closest("td");
      if (!cell) return;
      stop(cell);
      open(cell);
    });
    grid.addEventListener("keydown", (event) => {
      const cell = event.target.closest("td");
      if (!cell) return;
      if (event.key === "Enter" || event.key === " ") open(cell);
      else if (event.key === "Escape") close(grid);
      else if (MOVES[event.key]) {
        const rows = cells(grid);
        let row = cell.parentElement.rowIndex - 1;
        let column = cell.cellIndex - 1;
        do {
          row += MOVES[event.key][0];
          column += MOVES[event.key][1];
        } while (rows[row] && rows[row][column] && rows[row][column].matches("[hidden], .out"));
        const next = rows[row] && rows[row][column];
        if (next) {
          stop(next);
          next.focus();
        }
      } else return;
      event.preventDefault();
    });
  }
  // What is shown stands in the address, so that a view can be passed on.
  const filter = document.querySelector(".filter");
  const show = () => {
    const { section = "", setting, from, to } = Object.fromEntries(new FormData(filter));
    // A map that is there for each section shows the one that is chosen.
    let whole = false;
    for (const figure of document.querySelectorAll("figure:has(.map)")) {
      const maps = [...figure.querySelectorAll(".map")];
      const chosen = maps.some((map) => map.dataset.section === section) ? section : "";
      whole = whole || chosen !== section;
      for (const map of maps) map.hidden = map.dataset.section !== chosen;
      figure.querySelector("h3").hidden = chosen !== "";
    }
    let left = 0;
    for (const cell of document.querySelectorAll(".grid [data-setting]")) {
      cell.hidden = setting !== "" && cell.dataset.setting !== setting;
      const week = Number(cell.dataset.week);
      cell.classList.toggle("out", week < Number(from) || week > Number(to));
      if (week && !cell.hidden && !cell.matches(".out") && !cell.closest(".map[hidden]")) left += 1;
    }
    document.querySelectorAll("table.grid").forEach((grid) => {
      close(grid);
      const first = [...grid.querySelectorAll("td[data-week]")].find((cell) => !cell.matches("[hidden], .out"));
      if (first) stop(first);
    });
    const words = filter.elements.setting.selectedOptions[0].textContent;
    const where = section && `section ${section}, `;
    filter.querySelector("p").textContent = `Shown: ${where}${words}, weeks ${from} to ${to}; ${left} cells${whole ? "; errors are those of all sections" : ""}`;
  };
  if (filter) {
    filter.hidden = false;
    for (const [name, value] of new URLSearchParams(location.hash.slice(1))) {
      const field = filter.elements.namedItem(name);
      if (field && [...field.options].some((option) => option.value === value)) field.value = value;
    }
    show();
    filter.addEventListener("change", () => {
      history.replaceState(null, "", "#" + new URLSearchParams(new FormData(filter)));
      show();
    });
    filter.addEventListener("reset", () => setTimeout(() => {
      history.replaceState(null, "", "#");
      show();
    }));
  }
  const draw = (chart) => {
    const name = chart.id.replace("chart-", "spec-");
    const specification = JSON.parse(document.getElementById(name).textContent);
    return lostrootEmbed(chart, fitted(specification, chart.closest("figure").clientWidth), options).then(() => {
      // The box around the drawing carries its name and description, once.
      for (const svg of chart.querySelectorAll("svg")) svg.setAttribute("aria-hidden", "true");
      chart.setAttribute("data-drawn", "yes");
    });
  };
  // The library comes packed; as it is unpacked, the page's policy knows its hash.
  const library = document.getElementById("library");
  const unpack = async () => {
    const bytes = Uint8Array.from(atob(library.textContent), (letter) => letter.charCodeAt(0));
    const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate"));
    const script = document.createElement("script");
    script.textContent = await new Response(stream).text();
    document.head.append(script);
    await Promise.all([...document.querySelectorAll(".chart")].map(draw));
  };
  if (library) unpack().catch((error) => console.error(error.message));
  // Only a box that scrolls is a stop of the tab key, and says so.
  const boxes = new ResizeObserver((seen) => {
    for (const { target } of seen) {
      const box = target.closest(".box");
      const scrolls = box.scrollWidth > box.clientWidth + 1;
      box.classList.toggle("scrolls", scrolls);
      if (scrolls) box.tabIndex = 0;
      else box.removeAttribute("tabindex");
    }
  });
  for (const box of document.querySelectorAll(".box")) for (const one of [box, ...box.children]) boxes.observe(one);
  addEventListener("beforeprint", () => {
    for (const folded of document.querySelectorAll("details.behind")) folded.open = true;
  });
})();
