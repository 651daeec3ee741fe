// The sheets: what was seen or done becomes the words that `vireton record` takes.
//
// A sheet is made by (words, job, draft, changed) and gives: title, body, entry(): what would be
// recorded, as {typed, said} or null while there is nothing yet; its draft is changed in place.

import { bind, button, capital, choice, el, stepper, svg } from "./dom.js";
import { Board, circle, label, line } from "./board.js";
import { photoButton } from "./photo.js";

export const ARROWS = [["fletched", "Fletched"], ["bare", "Bare"]];
const near = (one, other) => Math.abs(one - other) < 1e-6;

function distances(list, chosen, changed, legend) {
  const select = el("select", {
    "aria-label": legend, onchange: (event) => changed(event.target.value),
  }, list.map((one) => el("option", { value: one.words }, one.words)));
  select.value = chosen;
  return el("label", { class: "field" }, el("span", {}, legend), select);
}

// ---- paper tear

const tearSides = (words, { x, y }) => {
  const size = (one) => words.tear[Math.round(Math.abs(one) / words.grain_in)];
  const said = [];
  if (!near(y, 0)) said.push(`${y > 0 ? "high" : "low"} ${size(y)}`);
  if (!near(x, 0)) said.push(`${x > 0 ? "right" : "left"} ${size(x)}`);
  return said.join(", ") || "clean";
};

export function tear(words, job, draft, changed) {
  draft.arrow ??= "bare";
  draft.at ??= words.units === "us" ? "6 ft" : words.paper[2].words;
  draft.mark ??= null; // nothing yet
  draft.zoom ??= 1;
  draft.half ??= 1.5; // in
  const marks = [draft.mark ?? { x: 0, y: 0 }];
  const said = el("output", { class: "readout", "aria-live": "polite" });
  const board = new Board({
    label: "Paper: the point's hole is in the middle; put the tail's hole",
    half: draft.half / draft.zoom, grain: words.grain_in, marks, single: true,
    put: (x, y) => { Object.assign(marks[0], { x, y }); return marks[0]; },
    changed: () => { draft.mark = marks[0]; show(); changed(); },
    draw: (size) => {
      const { x, y } = marks[0];
      const tail = [x * size, y * size];
      const r = 0.125 * size;
      const vanes = draft.arrow === "bare" ? [] : [90, 210, 330].map((turn) => {
        const a = turn * Math.PI / 180;
        return line(tail[0], tail[1], tail[0] + 3.1 * r * Math.cos(a),
          tail[1] + 3.1 * r * Math.sin(a), "vane");
      });
      const grid = [];
      const step = words.units === "us" ? 0.25 : 10 / 25.4;
      for (let k = 1; k * step < 2.5 * board_half(draft); k += 1) {
        for (const at of [k * step * size, -k * step * size]) {
          grid.push(line(at, -250, at, 250, "grid"), line(-250, at, 250, at, "grid"));
        }
      }
      const names = [["high", 0, 92], ["low", 0, -96], ["left", -90, 3], ["right", 89, 3]];
      return [...grid, line(-250, 0, 250, 0, "axis"), line(0, -250, 0, 250, "axis"),
        ...names.map(([name, a, b]) => label(a, b, name, "edge")),
        line(0, 0, ...tail, "torn"), ...vanes,
        draft.mark ? circle(...tail, r, "tail") : null, circle(0, 0, r * 0.8, "point")]
        .filter(Boolean);
    },
  });
  function board_half(of) { return of.half / of.zoom; }
  const zoom = button("", () => {
    draft.zoom = draft.zoom === 1 ? 2 : 1;
    board.half = board_half(draft);
    show();
    board.show();
  });
  function show() {
    said.textContent = draft.mark ? bind(capital(tearSides(words, draft.mark))) : "Tap where the tail went";
    said.classList.toggle("faint", !draft.mark);
    zoom.textContent = draft.zoom === 1 ? "Zoom ×2" : "Zoom ×1";
    zoom.setAttribute("aria-pressed", String(draft.zoom === 2));
  }
  show();
  const onGrain = ([x, y]) => {
    const snap = (one) => Number((Math.round(one / words.grain_in) * words.grain_in).toFixed(6));
    return { x: snap(x), y: snap(y) };
  };
  const photo = photoButton("tear", words, {
    says: (inches) => capital(tearSides(words, onGrain(inches))),
    use: ([read]) => {
      Object.assign(marks[0], onGrain([read.x, read.y]));
      draft.mark = marks[0];
      draft.half = Math.max(1.5, Math.ceil(2 * Math.max(Math.abs(marks[0].x), Math.abs(marks[0].y)) + 0.5) / 2);
      draft.zoom = 1;
      board.half = board_half(draft);
      show(); board.show(); changed();
    },
  });
  const body = [
    choice("Which arrow", ARROWS.slice().reverse(), draft.arrow, (one) => {
      draft.arrow = one; board.show(); changed();
    }),
    said, board.view,
    el("div", { class: "row" },
      button("Clean", () => {
        Object.assign(marks[0], { x: 0, y: 0 });
        draft.mark = marks[0];
        show(); board.show(); changed();
      }, { class: "wide" }), zoom, photo),
    el("div", { class: "row" },
      distances(words.paper, draft.at, (one) => { draft.at = one; changed(); }, "Paper"),
      nudges(board)),
  ];
  return {
    title: "Paper tear", body,
    entry: () => draft.mark && {
      typed: { tear: [[draft.arrow, tearSides(words, draft.mark)]], at: draft.at },
      said: `${draft.arrow} tear, ${tearSides(words, draft.mark)}`,
    },
  };
}

function nudges(board) {
  const one = (name, sign, by) => button(sign, () => board.nudge(...by), { "aria-label": name });
  return el("div", { class: "nudges", role: "group", "aria-label": "A little" },
    one("a little left", "←", [-1, 0]), one("a little down", "↓", [0, -1]),
    one("a little up", "↑", [0, 1]), one("a little right", "→", [1, 0]));
}

// ---- shots

const ZOOMS = [0.5, 1, 2];

export function shots(words, job, draft, changed) {
  draft.arrow ??= "fletched";
  draft.at ??= words.targets.some((one) => one.words === job.sight_in) ? job.sight_in
    : words.targets[2].words;
  draft.marks ??= [];
  draft.zoom ??= 1;
  draft.sight ??= false;
  const list = words.targets.slice();
  if (!list.some((one) => one.words === draft.at)) {
    list.push({ words: draft.at, yards: parseFloat(draft.at) || 20 });
  }
  const half = () => {
    const yards = list.find((one) => one.words === draft.at).yards;
    const inches = 6 * yards / 20 / draft.zoom;
    return Math.max(1, inches < 4 ? Math.round(inches * 2) / 2 : Math.round(inches));
  };
  const said = el("output", { class: "readout", "aria-live": "polite" });
  let counts = "";
  const remove = button("Take away", () => {
    draft.marks.splice(board.chosen, 1);
    board.chosen = draft.marks.length - 1;
    show(); board.show(); changed();
  });
  const board = new Board({
    label: "Target, the middle is where you aimed: put where each arrow hit",
    half: half(), grain: 0.1, marks: draft.marks,
    put: (x, y) => {
      if (draft.marks.length >= 40) return null;
      const made = { arrow: draft.arrow, x, y };
      draft.marks.push(made);
      return made;
    },
    changed: () => { show(); changed(); },
    draw: (size, chosen) => {
      const h = half();
      const ring = [0.5, 1, 2, 3, 6, 12].find((one) => h / one <= 6);
      const rings = [];
      for (let k = 1; k * ring <= h * 2.5; k += 1) {
        rings.push(circle(0, 0, k * ring * size, "grid"));
        if (k * ring > h * 1.0001) continue;
        rings.push(label(3, k * ring * size - 6.5, shown(words, k * ring, true), "mark"));
      }
      const pins = draft.marks.map((one, k) => {
        const at = [one.x * size, one.y * size];
        return [k === chosen ? circle(...at, 7.5, "halo") : null,
          circle(...at, one.arrow === "bare" ? 3.9 : 4.4, `arrow ${one.arrow}`)].filter(Boolean);
      });
      return [...rings, line(-250, 0, 250, 0, "axis"), line(0, -250, 0, 250, "axis"), ...pins.flat()];
    },
  });
  const nearer = button("−", () => go(-1), { "aria-label": "Show more of the target" });
  const closer = button("+", () => go(1), { "aria-label": "Zoom in" });
  function go(by) {
    draft.zoom = ZOOMS[Math.min(2, Math.max(0, ZOOMS.indexOf(draft.zoom) + by))];
    rescale();
  }
  function rescale() {
    board.half = half();
    board.grain = board.half <= 3 ? 0.05 : 0.1;
    show(); board.show();
  }
  function show() {
    const mark = draft.marks[board ? board.chosen : -1];
    const all = ["fletched", "bare"].map((kind) =>
      [kind, draft.marks.filter((one) => one.arrow === kind).length]).filter(([, n]) => n);
    counts = all.map(([kind, n]) => `${n} ${kind}`).join(", ");
    said.replaceChildren(counts || "Tap where each arrow hit",
      el("span", { class: "under" }, mark ? bind(`${mark.arrow} ${spot(words, mark)}`) : "\u00a0"));
    said.classList.toggle("faint", !all.length);
    remove.disabled = !mark;
    nearer.disabled = draft.zoom === ZOOMS[0];
    closer.disabled = draft.zoom === ZOOMS[2];
  }
  rescale();
  const fine = (one) => Number((Math.round(one / 0.05) * 0.05).toFixed(3)); // as the closest zoom
  const photo = photoButton("shots", words, {
    room: () => 40 - draft.marks.length,
    says: ([x, y]) => spot(words, { x: fine(x), y: fine(y) }),
    use: (read) => {
      draft.marks.push(...read.map(({ arrow, x, y }) => ({ arrow, x: fine(x), y: fine(y) })));
      board.chosen = draft.marks.length - 1;
      const far = Math.max(...draft.marks.map((one) => Math.max(Math.abs(one.x), Math.abs(one.y))));
      while (half() < far && draft.zoom !== ZOOMS[0]) draft.zoom = ZOOMS[ZOOMS.indexOf(draft.zoom) - 1];
      rescale(); changed();
    },
  });
  const body = [
    choice("Which arrow is tapped in", ARROWS, draft.arrow, (one) => { draft.arrow = one; },
      { class: "choice arrows" }),
    said, board.view,
    el("div", { class: "row" }, remove, nudges(board)),
    el("div", { class: "row" },
      distances(list, draft.at, (one) => { draft.at = one; rescale(); changed(); }, "From"),
      el("div", { class: "nudges two", role: "group", "aria-label": "Zoom" }, nearer, closer)),
    el("div", { class: "row" },
      toggle("Sight moved since", draft.sight, (on) => { draft.sight = on; changed(); }), photo),
  ];
  return {
    title: "Shots", body,
    entry: () => {
      const group = ["fletched", "bare"].map((kind) => [kind, draft.at,
        draft.marks.filter((one) => one.arrow === kind)
          .map((one) => `${plain(words, one.x)},${plain(words, one.y)}`).join(" ")])
        .filter(([, , places]) => places);
      if (!group.length) return null;
      const typed = { group };
      if (draft.sight && !draft.correct) typed.changed = ["sight"];
      return { typed, said: `${counts} at ${draft.at}` };
    },
  };
}

const plain = (words, inches) => String(Number((inches / words.small_in).toFixed(3)));
function shown(words, inches, short = false) {
  const size = Math.abs(inches) / words.small_in;
  return `${Number(size.toFixed(size < 3 && short ? 1 : short ? 0 : 2))}${short ? "" : ` ${words.small}`}`;
}
function spot(words, { x, y }) {
  const right = near(x, 0) ? "" : `${x > 0 ? "right" : "left"} ${shown(words, x)}`;
  const up = near(y, 0) ? "" : `${y > 0 ? "high" : "low"} ${shown(words, y)}`;
  return [right, up].filter(Boolean).join(", ") || "dead center";
}

export function toggle(words, on, changed) {
  const box = button(words, () => {
    on = !on;
    box.setAttribute("aria-pressed", String(on));
    changed(on);
  }, { "aria-pressed": String(on), class: "toggle" });
  return box;
}

// ---- moved

const countOf = (job, text, plus, minus) => {
  for (const piece of (text || "").split(", ")) {
    const [side, ...size] = piece.split(" ");
    const steps = job.steps.indexOf(size.join(" ")) + 1;
    if (side === plus) return steps;
    if (side === minus) return -steps;
  }
  return 0;
};

export function moved(words, job, draft, changed) {
  const advised = job.advice?.move;
  if (draft.advised && advised && draft.right === undefined) {
    draft.right = countOf(job, advised.rest, "right", "left");
    draft.up = countOf(job, advised.rest, "up", "down");
    draft.nock = countOf(job, advised.nock, "up", "down");
    if (draft.nock && !draft.right && !draft.up) draft.part = "nock";
  }
  draft.right ??= 0;
  draft.up ??= 0;
  draft.nock ??= 0;
  draft.part ??= "rest";
  const size = (n, plus, minus) => n && `${n > 0 ? plus : minus} ${job.steps[Math.abs(n) - 1]}`;
  const rest = () =>
    [size(draft.right, "right", "left"), size(draft.up, "up", "down")].filter(Boolean).join(", ");
  const nock = () => size(draft.nock, "up", "down") || "";
  const said = el("output", { class: "readout tall", "aria-live": "polite" });
  const most = job.steps.length;
  const go = (right, up) => () => {
    const bound = (n) => Math.max(-most, Math.min(most, n));
    if (draft.part === "nock") draft.nock = bound(draft.nock + up);
    else {
      draft.right = bound(draft.right + right);
      draft.up = bound(draft.up + up);
    }
    show(); changed();
  };
  const arrow = (name, turn, by) => button(
    svg("svg", { viewBox: "0 0 24 24", class: "icon", "aria-hidden": "true" },
      svg("path", { d: "M12 20V5M5 12l7-7 7 7", transform: `rotate(${turn} 12 12)` })),
    go(...by), { "aria-label": name, class: `pad ${name}` });
  const sideways = [arrow("left", 270, [-1, 0]), arrow("right", 90, [1, 0])];
  const step = el("div", { class: "step" }, "one tap", el("strong", {}, job.steps[0]));
  function show() {
    const all = [rest() && `Rest ${rest()}`, nock() && `Nocking point ${nock()}`].filter(Boolean);
    said.textContent = bind(all.join(". ")) || "Not moved yet";
    said.classList.toggle("faint", !all.length);
    for (const one of sideways) one.disabled = draft.part === "nock";
    clear.disabled = !all.length;
  }
  const clear = button("Start over", () => {
    draft.right = draft.up = draft.nock = 0;
    show(); changed();
  });
  show();
  return {
    title: "Moved", action: draft.advised ? "I did this" : undefined,
    body: [
      choice("What was moved", [["rest", "Rest"], ["nock", "Nocking point"]], draft.part, (one) => {
        draft.part = one; show();
      }),
      said,
      el("div", { class: "pads", role: "group", "aria-label": "As the archer sees it" },
        arrow("up", 0, [0, 1]), ...sideways, arrow("down", 180, [0, -1]), step),
      el("p", { class: "small center" }, "As the archer sees it, bow in hand"),
      clear,
    ],
    entry: () => {
      const typed = {};
      if (rest()) typed.rest = rest();
      if (nock()) typed.nock = nock();
      return rest() || nock() ? { typed, said: [rest() && `rest ${rest()}`, nock() && `nocking point ${nock()}`].filter(Boolean).join(", ") } : null;
    },
  };
}

// ---- changed

export function changed(words, job, draft, told) {
  draft.what ??= "";
  const body = el("div", { class: "kinds" });
  const kind = () => words.changes.find((one) => one.what === draft.what);
  const turns = (n) => (n ? `${words.turns[Math.abs(n) - 1]} ${n > 0 ? "in" : "out"}` : "not said");
  const size = (plus, minus) => (n) => (n ? `${n > 0 ? plus : minus} ${job.steps[Math.abs(n) - 1]}` : "not said");
  const rows = () => {
    const one = kind();
    const made = [];
    const most = job.steps.length;
    if (one.takes.includes("right")) {
      made.push(el("div", { class: "field tall" }, el("span", {}, "Right or left"),
        stepper("Right or left", size("right", "left"), draft.right || 0, -most, most,
          (n) => { draft.right = n; told(); }, ["left", "right"])));
    }
    if (one.takes.includes("up")) {
      made.push(el("div", { class: "field tall" }, el("span", {}, "Up or down"),
        stepper("Up or down", size("up", "down"), draft.up || 0, -most, most,
          (n) => { draft.up = n; told(); }, ["down", "up"])));
    }
    if (one.takes.includes("turns")) {
      made.push(el("div", { class: "field tall" }, el("span", {}, "Turns"),
        stepper("Turns", turns, draft.turns || 0, -40, 40,
          (n) => { draft.turns = n; told(); }, ["out", "in"])));
    }
    if (one.number) made.push(input("Now", draft, "number", told, one.like));
    made.push(input("Note", draft, "note", told, ""));
    return made;
  };
  function show() {
    const one = kind();
    if (!one) {
      body.replaceChildren(...words.changes.map((row) => button(
        [el("strong", {}, capital(row.words)), el("span", {}, row.usually)],
        () => { draft.what = row.what; show(); told(); }, { class: "kind" })));
      return;
    }
    body.replaceChildren(
      el("div", { class: "chosen" }, el("h2", {}, capital(one.words)),
        draft.correct ? null : button("Another", () => {
          for (const key of ["what", "right", "up", "turns", "number"]) delete draft[key];
          draft.what = "";
          show(); told();
        })),
      el("p", { class: "small" }, `${capital(one.usually)}.`), ...rows());
  }
  show();
  return {
    title: "Changed", body: [body],
    entry: () => {
      const one = kind();
      if (!one) return null;
      const pieces = [];
      if (draft.right) pieces.push(size("right", "left")(draft.right));
      if (draft.up) pieces.push(size("up", "down")(draft.up));
      if (draft.turns) pieces.push(`${words.turns_typed[Math.abs(draft.turns) - 1]} ${draft.turns > 0 ? "in" : "out"}`);
      if ((draft.number || "").trim()) pieces.push(draft.number.trim());
      const text = pieces.length ? `${one.what} ${pieces.join(", ")}` : one.what;
      const typed = { changed: [text] };
      if ((draft.note || "").trim()) typed.note = draft.note.trim();
      return { typed, said: text };
    },
  };
}

export function input(legend, draft, key, told, like, given = {}) {
  const id = `field-${key.replace(/\W/g, "-")}`;
  return el("label", { class: "field", for: id }, el("span", {}, legend),
    el("input", {
      id, value: draft[key] || "", placeholder: like ? `such as ${like}` : "",
      autocomplete: "off", autocapitalize: "off", spellcheck: "false", maxlength: "400", ...given,
      oninput: (event) => { draft[key] = event.target.value; told(); },
    }));
}

// ---- found

export function found(words, job, draft, told) {
  draft.what ??= "";
  const body = el("div", { class: "kinds" });
  function show() {
    if (!draft.what) {
      body.replaceChildren(...words.findings.map((row) => button(
        [el("strong", {}, capital(row.what)), row.cure ? el("span", {}, row.cure) : null],
        () => { draft.what = row.what; show(); told(); }, { class: "kind" })));
      return;
    }
    const cure = words.findings.find((one) => one.what === draft.what).cure;
    body.replaceChildren(
      el("div", { class: "chosen" }, el("h2", {}, capital(draft.what)),
        draft.correct ? null : button("Another", () => { draft.what = ""; show(); told(); })),
      cure ? el("p", { class: "warn" }, `${cure}.`) : "",
      draft.what === "cracked arrow"
        ? choice("Which arrow", ARROWS, draft.arrow || "", (one) => { draft.arrow = one; told(); })
        : "",
      input("Where", draft, "where", told, words.found_where),
      input("How seen", draft, "how", told, words.found_how));
  }
  show();
  return {
    title: "Found", body: [body],
    entry: () => {
      if (!draft.what) return null;
      const tidy = (one) => (one || "").replaceAll(",", " ").trim();
      const first = draft.what === "cracked arrow" && draft.arrow
        ? `${draft.what} ${draft.arrow}` : draft.what;
      const text = [first, tidy(draft.where), tidy(draft.how)].filter(Boolean).join(", ");
      return { typed: { found: [text] }, said: text };
    },
  };
}

// ---- walk-back

export function walkback(words, job, draft, told) {
  draft.marks ??= [];
  draft.zoom ??= 1;
  const rows = words.walk;
  // rows lie evenly on the sheet, the nearest at the top
  const half = 8 / draft.zoom;
  const level = (k) => (1 - (2 * k + 1.3) / (rows.length + 0.3)) * half;
  const said = el("output", { class: "readout", "aria-live": "polite" });
  const side = (x) => (near(x, 0) ? "on the line" : `${x > 0 ? "right" : "left"} ${shown(words, x)}`);
  const board = new Board({
    label: "The plumb line; put where the fletched arrow of each distance hit, right or left of it",
    half, grain: 0.1, marks: draft.marks, lock: "x",
    put: (x, y) => {
      const k = rows.map((_, i) => Math.abs(level(i) - y)).reduce((b, d, i, all) => (d < all[b] ? i : b), 0);
      const there = draft.marks.find((one) => one.row === k);
      if (there) { there.x = x; return there; }
      const made = { row: k, x, y: level(k) };
      draft.marks.push(made);
      return made;
    },
    changed: () => { show(); told(); },
    draw: (size, chosen) => [
      ...rows.map((_, k) => line(-250, level(k) * size, 250, level(k) * size, "grid")),
      line(0, -250, 0, 250, "plumb"),
      ...rows.map((row, k) => label(-98, level(k) * size + 3, row.words, "rowname")),
      ...draft.marks.flatMap((one, k) => [
        k === chosen ? circle(one.x * size, level(one.row) * size, 7.5, "halo") : null,
        circle(one.x * size, level(one.row) * size, 4.4, "arrow fletched")].filter(Boolean)),
    ],
  });
  const remove = button("Take away", () => {
    draft.marks.splice(board.chosen, 1);
    board.chosen = draft.marks.length - 1;
    show(); board.show(); told();
  });
  function show() {
    const mark = draft.marks[board ? board.chosen : -1];
    said.textContent = mark ? bind(`${rows[mark.row].words}: ${side(mark.x)}`) : "Tap where each one hit";
    said.classList.toggle("faint", !mark);
    remove.disabled = !mark;
  }
  show();
  return {
    title: "Walk-back",
    body: [said, board.view, el("div", { class: "row" }, remove, nudges(board)),
      el("p", { class: "small" }, "Fletched arrows, one sight setting, aimed at the top of a plumb line.")],
    entry: () => {
      if (!draft.marks.length) return null;
      const points = draft.marks.slice().sort((a, b) => a.row - b.row)
        .map((one) => `${rows[one.row].words} ${plain(words, one.x)}${words.small}`);
      return { typed: { walkback: points.join(", ") }, said: `walk-back from ${points.length} distances` };
    },
  };
}

// ---- paperwork

export function measured(words, job, draft, told) {
  draft.values ??= {};
  return {
    title: "Measured",
    body: words.measures.map((one) => input(capital(one.words), draft.values, one.words, told, one.like)),
    entry: () => {
      const text = words.measures.map((one) => [one.words, (draft.values[one.words] || "").replaceAll(",", " ").trim()])
        .filter(([, value]) => value).map((pair) => pair.join(" ")).join(", ");
      return text ? { typed: { measured: text }, said: `measured: ${text}` } : null;
    },
  };
}

export function lookover(words, job, draft, told) {
  draft.state ??= {};
  draft.notes ??= {};
  return {
    title: "Looked over",
    body: words.safety.map((one) => {
      const note = el("div", {});
      const show = () => note.replaceChildren(draft.state[one.key] === "not"
        ? input("What was seen", draft.notes, one.key, told, "") : "");
      show();
      return el("section", { class: "look" }, el("p", {}, one.words),
        choice(one.words, [["ok", "Fine"], ["not", "Not fine"]], draft.state[one.key] || "", (state) => {
          draft.state[one.key] = state; show(); told();
        }), note);
    }),
    entry: () => {
      const said = words.safety.map(({ key }) => {
        const state = draft.state[key];
        if (state === "ok") return `${key} ok`;
        const note = (draft.notes[key] || "").replaceAll(",", " ").trim();
        return state === "not" && note ? `${key} ${note}` : "";
      }).filter(Boolean).join(", ");
      return said ? { typed: { look_over: said }, said: `looked over: ${said}` } : null;
    },
  };
}

export function note(words, job, draft, told) {
  const area = el("textarea", {
    id: "note", rows: "6", maxlength: "2000",
    oninput: (event) => { draft.text = event.target.value; told(); },
  });
  area.value = draft.text || "";
  return {
    title: "Note",
    body: [el("label", { class: "field tall", for: "note" }, el("span", {}, "Anything else"), area)],
    entry: () => ((draft.text || "").trim()
      ? { typed: { note: draft.text.trim() }, said: "a note" } : null),
  };
}

export function visit(words, job, draft, told) {
  return {
    title: "Came back", action: "Begin a visit",
    body: [el("p", {}, "A new visit of the same bow. What was learnt of it is where this one starts."),
      input("Complaint", draft, "complaint", told, "groups open up")],
    entry: () => ({ do: "visit", typed: {}, complaint: (draft.complaint || "").trim(), said: "a return visit" }),
  };
}

export const SHEETS = { tear, shots, moved, changed, found, walkback, measured, lookover, note, visit };
