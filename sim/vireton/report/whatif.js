"use strict";
// Moves the marks and the numbers of the page as its sliders move. It reads the tables that stand in
// the page and does what vireton.report (tables, shown, wording, faces) does: change both together.
(() => {
  const data = JSON.parse(document.getElementById("tables").textContent);
  const byId = (id) => document.getElementById(id);
  const slides = { right: byId("slide-right"), up: byId("slide-up"), wind: byId("slide-wind") };
  const SIDES = [["right", "left"], ["high", "low"]];

  function windWeights(wind) {
    const nodes = data.winds;
    const below = nodes.filter((node) => node <= wind).length;
    const first = Math.min(Math.max(below - 2, 0), nodes.length - 4);
    const near = nodes.slice(first, first + 4);
    const weights = near.map((own) =>
      near.reduce((all, other) => (other === own ? all : (all * (wind - other)) / (own - other)), 1));
    return [first, weights];
  }

  function place(at, which, kind, distance) {
    if (kind === "apart") {
      const bare = place(at, which, "bare", distance);
      const fletched = place(at, which, "fletched", distance);
      return [bare[0] - fletched[0], bare[1] - fletched[1]];
    }
    const table = data.cases[which].places[kind];
    const [first, weights] = windWeights(at.wind);
    const row = (at.right * data.up.length + at.up) * data.winds.length + first;
    return [0, 1].map((axis) => data.count * weights.reduce((sum, weight, k) =>
      sum + weight * table[((row + k) * data.distances + distance) * 2 + axis], 0));
  }

  function spread(at, which, seen, distance) {
    const table = data.cases[which].spreads[seen];
    const nodes = data.spreadWinds;
    const last = nodes.length - 2;
    const first = Math.min(Math.max(nodes.filter((node) => node <= at.wind).length - 1, 0), last);
    const share = (at.wind - nodes[first]) / (nodes[first + 1] - nodes[first]);
    const row = (at.right * data.up.length + at.up) * nodes.length + first;
    const [right, up, correlation] = [0, 1, 2].map((entry) => {
      const [below, above] = [0, 1].map((k) =>
        table[((row + k) * data.distances + distance) * 3 + entry]);
      return below + share * (above - below);
    });
    return { sd: [right * data.count, up * data.count], correlation: correlation / data.correlation };
  }

  function ellipse({ sd, correlation }) {
    const mixed = correlation * sd[0] * sd[1];
    const mean = 0.5 * (sd[0] ** 2 + sd[1] ** 2);
    const half = 0.5 * (sd[0] ** 2 - sd[1] ** 2);
    const away = Math.hypot(half, mixed);
    return {
      long: data.ellipse * Math.sqrt(mean + away),
      short: data.ellipse * Math.sqrt(Math.max(mean - away, 0)),
      turn: (0.5 * Math.atan2(mixed, half) * 180) / Math.PI,
    };
  }

  function reachOf(extent) {
    const wanted = Math.max(extent, 0.4);
    const ten = 10 ** Math.floor(Math.log10(wanted));
    return [1, 2, 3, 4, 6, 8, 10].map((step) => step * ten).find((one) => one >= wanted * (1 - 1e-9));
  }

  function rounded(size, digits) {
    const scale = 10 ** digits;
    return (Math.floor(size * scale + 0.5) / scale).toFixed(digits);
  }

  function placeWords(value, half, axis, error) {
    if (Math.max(Math.abs(value), half) < 0.005) return "0";
    const known = Math.max(half, error);
    const digits = known > 0
      ? Math.min(2, Math.max(0, Math.floor(1.5 - Math.log10(2 * known)))) : 2;
    const amount = rounded(Math.abs(value), digits);
    const side = Number(amount) ? ` ${SIDES[axis][value > 0 ? 0 : 1]}` : "";
    const around = rounded(half, digits);
    return amount + side + (Number(around) ? ` ± ${around}` : "");
  }

  function windWords(wind) {
    if (Math.abs(wind) < 1e-6) return "no crosswind";
    const size = Number(Math.abs(wind).toPrecision(4));
    return `${size} ${data.windUnit} from the ${wind > 0 ? "left" : "right"}`;
  }

  const isShown = (at, which) => which === 0 || at.right !== data.stands;
  const isPicked = (at, kind) => at.vanes === "both" || at.vanes === kind;

  function drawFace(svg, at) {
    const distance = Number(svg.dataset.face);
    const marks = [...svg.querySelectorAll("[data-mark]")].map((mark) => {
      const [which, kind] = mark.dataset.mark.split("-");
      const where = place(at, Number(which), kind, distance);
      const around = spread(at, Number(which), kind, distance);
      const shown = isShown(at, Number(which)) && isPicked(at, kind);
      return { mark, where, around, shown };
    });
    const seen = [...svg.querySelectorAll(".seen")];
    let extent = 0;
    for (const { where, around, shown } of marks) {
      if (!shown) continue;
      for (const axis of [0, 1]) {
        extent = Math.max(extent, Math.abs(where[axis]) + data.ellipse * around.sd[axis]);
      }
    }
    for (const one of seen) {
      extent = Math.max(extent, Math.abs(one.dataset.right), Math.abs(one.dataset.up));
    }
    const reach = reachOf(extent);
    const scale = 100 / reach;
    const at2 = (x, y) => `translate(${(x * scale).toFixed(2)} ${(-y * scale).toFixed(2)})`;
    for (const tick of svg.querySelectorAll("[data-tick]")) {
      const value = Number((tick.dataset.tick * reach).toPrecision(6));
      tick.textContent = String(value).replace("-", "−");
    }
    for (const one of seen) {
      one.setAttribute("transform", at2(one.dataset.right, one.dataset.up));
    }
    for (const { mark, where, around, shown } of marks) {
      const { long, short, turn } = ellipse(around);
      const line = mark.querySelector("ellipse");
      line.setAttribute("rx", (long * scale).toFixed(2));
      line.setAttribute("ry", (short * scale).toFixed(2));
      line.setAttribute("transform", `rotate(${(-turn).toFixed(2)})`);
      mark.setAttribute("transform", at2(where[0], where[1]));
      mark.dataset.right = where[0];
      mark.dataset.up = where[1];
      if (shown) mark.removeAttribute("display");
      else mark.setAttribute("display", "none");
    }
  }

  function writeRow(row, at) {
    const [which, seen, distance] = row.dataset.row.split("-");
    const where = place(at, Number(which), seen, Number(distance));
    const { sd } = spread(at, Number(which), seen, Number(distance));
    for (const axis of [0, 1]) {
      const half = data.interval * sd[axis];
      row.querySelector(`[data-axis="${axis}"]`).textContent =
        placeWords(where[axis], half, axis, data.errors[distance]);
    }
    row.hidden = !isShown(at, Number(which)) ||
      !(seen === "apart" ? at.vanes === "both" : isPicked(at, seen));
  }

  function show() {
    const picked = document.querySelector('input[name="vanes"]:checked');
    const at = {
      right: Number(slides.right.value),
      up: Number(slides.up.value),
      wind: Number(slides.wind.value),
      vanes: picked ? picked.value : "both",
    };
    const words = { right: data.right[at.right], up: data.up[at.up], wind: windWords(at.wind) };
    for (const [name, slide] of Object.entries(slides)) {
      byId(`said-${name}`).textContent = words[name];
      slide.setAttribute("aria-valuetext", words[name]);
    }
    byId("shown").textContent = `rest ${words.right}, ${words.up}; ${words.wind}`;
    document.querySelectorAll("[data-face]").forEach((svg) => drawFace(svg, at));
    document.querySelectorAll("[data-row]").forEach((row) => writeRow(row, at));
  }

  const controls = byId("controls");
  controls.addEventListener("input", show);
  controls.addEventListener("submit", (event) => event.preventDefault());
  controls.querySelectorAll("[data-preset]").forEach((button) => {
    button.addEventListener("click", () => {
      const [right, up, wind] = data.presets[Number(button.dataset.preset)];
      slides.right.value = right;
      slides.up.value = up;
      slides.wind.value = wind;
      show();
    });
  });
  controls.hidden = false;
  controls.closest("section").classList.add("live");
  show();
})();
