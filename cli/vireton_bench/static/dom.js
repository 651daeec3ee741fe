// Small tools to build the page: elements, choices, steppers, the live line, questions.

const SVG = "http://www.w3.org/2000/svg";

function fill(made, given, inside) {
  for (const [key, value] of Object.entries(given)) {
    if (value === undefined || value === null || value === false) continue;
    if (key.startsWith("on")) made.addEventListener(key.slice(2), value);
    else if (key in { value: 1, checked: 1, disabled: 1 } && !(made instanceof SVGElement)) made[key] = value;
    else made.setAttribute(key, value === true ? "" : value);
  }
  for (const one of inside.flat()) {
    if (one !== null && one !== undefined && one !== false) made.append(one);
  }
  return made;
}

export const el = (name, given = {}, ...inside) => fill(document.createElement(name), given, inside);
export const svg = (name, given = {}, ...inside) =>
  fill(document.createElementNS(SVG, name), given, inside);
export const byId = (id) => document.getElementById(id);

export function button(words, act, given = {}) {
  return el("button", { type: "button", onclick: act, ...given }, words);
}

// One of a few, side by side: radio buttons that look like one bar.
let count = 0;
export function choice(legend, options, value, changed, given = {}) {
  const name = `choice-${++count}`;
  const rows = options.map(([key, words]) =>
    el("label", {},
      el("input", {
        type: "radio", name, value: key, checked: String(key) === String(value),
        onchange: () => changed(key),
      }),
      el("span", {}, words)));
  return el("fieldset", { class: "choice", ...given }, el("legend", { class: "unseen" }, legend), rows);
}

// A number of steps between a minus and a plus.
export function stepper(legend, says, value, low, high, changed, [less, more] = ["less", "more"]) {
  const shown = el("output", { "aria-live": "polite" }, says(value));
  const go = (by) => () => {
    value = Math.min(high, Math.max(low, value + by));
    shown.textContent = says(value);
    changed(value);
  };
  return el("div", { class: "stepper", role: "group", "aria-label": legend },
    button("−", go(-1), { "aria-label": `${legend}: ${less}` }), shown,
    button("+", go(1), { "aria-label": `${legend}: ${more}` }));
}

export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

// A number keeps its unit on its line.
export const bind = (text) => text
  .replace(/(\d) (?=\d+\/\d)/g, "$1\u00a0")
  .replace(/([\d½¼¾]) (?=(in|yd|ft|mm|cm|m|mph|lb|lbf|gr|fps|s|turns?)\b)/g, "$1\u00a0")
  .replace(/ → /g, "\u00a0→\u00a0");

export function say(words) {
  const strip = byId("strip");
  strip.replaceChildren(words ? el("p", {}, words) : "");
}

// A question in front of everything. ``acts``: [words, what it does, class].
export function ask(title, body, acts) {
  const box = byId("ask");
  byId("ask-title").textContent = title;
  byId("ask-body").replaceChildren(...body);
  byId("ask-acts").replaceChildren(...acts.map(([words, act, look]) =>
    button(words, () => { box.close(); act(); }, { class: look || "" })));
  if (!box.open) box.showModal();
}

export const asking = () => byId("ask").open;

const ICONS = {
  tear: ["M6 18 17 7", "c6 18 2.2", "o17.5 6.5 3"],
  shots: ["O12 12 9.5", "O12 12 4.5", "c9 10 1.7", "c15.5 8 1.7", "c13 15 1.7"],
  moved: ["M12 3v18M3 12h18", "M12 3 9.4 5.8M12 3l2.6 2.8M12 21l-2.6-2.8M12 21l2.6-2.8",
    "M3 12l2.8-2.6M3 12l2.8 2.6M21 12l-2.8-2.6M21 12l-2.8 2.6"],
  changed: ["M4 7h16M4 17h16", "f9 7 2.6", "f15 17 2.6"],
  found: ["O10.5 10.5 6.5", "M15.5 15.5 21 21"],
  walkback: ["M12 2v20", "c12.8 5 1.7", "c14.4 11 1.7", "c17 17.5 1.7"],
  history: ["M5 6h14M5 12h14M5 18h9"],
  more: ["c5 12 1.8", "c12 12 1.8", "c19 12 1.8"],
  done: ["M4 13l5 5L20 6"],
  photo: ["M3 7.5h4l2-3h6l2 3h4v12H3z", "O12 13 3.8"],
};
export function icon(name) {
  return svg("svg", { viewBox: "0 0 24 24", class: "icon", "aria-hidden": "true" },
    ICONS[name].map((one) => {
      if (one[0] === "M") return svg("path", { d: one });
      const [cx, cy, r] = one.slice(1).split(" ");
      return svg("circle", { cx, cy, r, class: { c: "dot", o: "ring", O: "", f: "dot" }[one[0]] });
    }));
}

// Which way an arrow key goes, right and up.
export const BY_KEY = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] };

export function today() {
  const now = new Date();
  const two = (n) => String(n).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}
