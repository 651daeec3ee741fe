// Taps on a straightened sheet: the two holes of a tear, or the aim and where each arrow hit.

import { bind, button, capital, choice, el } from "./dom.js";
import { Picture } from "./lens.js";
import { Away, Unpaired, post } from "./wire.js";

const ARROWS = ["fletched", "bare"];
const COARSE = 1 / 16; // in: a reading that is less sure than this asks to be looked at closer

const give = (found) => bind(`give or take ${found.give}`) + (found.give_in > COARSE ? ": zoom in to put it closer" : "");
const under = (words) => el("span", { class: "under" }, words);
const CORRECT = "Drag the mark to correct it";

// What the bench reads from the marks, asked anew after each change; the newest answer counts.
// ``asks()``: [start, ends] or nothing yet; ``shows``: hears null, and then what was read.
function reader(photo, said, asks, shows) {
  let turn = 0;
  const place = (one) => [one.x - 0.5, one.y - 0.5];
  const ask = async () => {
    const mine = ++turn;
    const asked = asks();
    shows(null);
    if (!asked) return;
    const [start, ends] = asked;
    const scale = Math.max(...[start, ...ends].map((one) => one.scale));
    try {
      const found = await post(`/api/pictures/${photo.sheet.id}/taps`,
        { start: place(start), ends: ends.map(place), scale });
      if (mine === turn) shows(found);
    } catch (error) {
      if (mine !== turn || !photo.box.open) return;
      if (error instanceof Away) {
        said.replaceChildren("The bench does not answer", under("What you tapped stays. It is asked again."));
        setTimeout(() => { if (mine === turn && photo.box.open) ask(); }, 2000);
      } else photo.failed(error instanceof Unpaired ? "This phone is not paired. Scan the code at the bench." : error.message);
    }
  };
  return ask;
}

export function readTear(photo) {
  const marks = [];
  const names = ["point", "tail"];
  const longest = (photo.words.tear.length - 1) * photo.words.grain_in;
  let step = 0;
  let reading = null;
  const said = el("output", { class: "readout", "aria-live": "polite" });
  const holes = el("div", {});
  const board = new Picture({
    label: "The straightened sheet: put a mark on the middle of each hole",
    ...photo.sheet, marks, only: () => step,
    put: (x, y) => Object.assign(marks[step] ??= { look: names[step], name: names[step] }, { x, y }),
    changed: () => ask(), looked: () => show(reading),
  });
  const go = (to) => { step = to; pick(); show(reading); board.show(); };
  const next = button("", () => {
    if (step === 0 && !marks[1]) { go(1); return; }
    photo.use([{ x: reading.inches[0][0], y: reading.inches[0][1] }]);
    photo.leave();
  }, { class: "first" });
  const pick = () => holes.replaceChildren(choice("Which hole is tapped",
    [["0", "Point's hole"], ["1", "Tail's hole"]], String(step), (one) => go(Number(one))));
  const show = (found) => {
    reading = found;
    const far = found && Math.max(...found.inches[0].map(Math.abs)) > longest;
    said.classList.toggle("faint", !marks[step]);
    if (!marks[step]) {
      said.replaceChildren(`Tap the ${names[step]}'s hole`,
        under(board.isFar() ? "The picture comes closer" : "On its very middle"));
    } else if (far) said.replaceChildren("Too far apart", under("Are these one arrow's two holes?"));
    else if (found) said.replaceChildren(bind(photo.says(found.inches[0])), under(give(found)));
    else said.replaceChildren(marks[1] && marks[0] ? "Reading…" : `The ${names[step]}'s hole`, under(CORRECT));
    next.textContent = marks[1] || step ? "Use it" : "Next: the tail";
    next.disabled = step === 0 && !marks[1] ? !marks[0] : !found || far;
  };
  const ask = reader(photo, said, () => marks[0] && marks[1] && [marks[0], [marks[1]]], show);
  pick();
  photo.screen("Paper tear", [holes, said, board.box, tools(board)], [photo.notNow(), next], "looking");
  board.fit();
}

export function readShots(photo) {
  const marks = []; // the aim first, then holes
  let kind = "aim";
  let reading = null;
  const said = el("output", { class: "readout", "aria-live": "polite" });
  const kinds = el("div", {});
  const put = (x, y) => {
    if (kind === "aim") return Object.assign(marks[0] ??= { look: "aim", name: "aim" }, { x, y });
    if (!marks.length || marks.length > photo.room()) return null;
    const made = { look: kind, arrow: kind, x, y };
    marks.push(made);
    return made;
  };
  const board = new Picture({
    label: "The straightened face: put a mark where you aimed, then on each hole",
    ...photo.sheet, marks, only: () => (kind === "aim" ? 0 : null), put,
    changed: () => ask(), looked: () => show(reading),
  });
  const middle = button("Middle of the group face", () => {
    const [x, y] = photo.sheet.middle.map((one) => one + 0.5);
    board.closeUp(x, y);
    put(x, y).scale = board.scale;
    board.show();
    ask();
  }, { class: "wide" });
  const remove = button("Take away", () => {
    marks.splice(board.chosen, 1);
    board.chosen = marks.length - 1;
    board.show();
    ask();
  });
  const next = button("", () => {
    if (kind === "aim") { go("fletched"); return; }
    photo.use(marks.slice(1).map(({ arrow }, k) => ({ arrow, x: reading.inches[k][0], y: reading.inches[k][1] })));
    photo.leave();
  }, { class: "first" });
  const go = (to) => { kind = to; pick(); show(reading); board.show(); };
  const pick = () => kinds.replaceChildren(choice("What is tapped",
    [["aim", "Aim"], ["fletched", "Fletched"], ["bare", "Bare"]], kind, (one) => go(one)));
  const show = (found) => {
    reading = found;
    const holes = marks.slice(1);
    const counts = ARROWS.map((one) => [one, holes.filter(({ arrow }) => arrow === one).length])
      .filter(([, n]) => n).map(([one, n]) => `${n} ${one}`).join(", ");
    const at = board.chosen - 1;
    const needed = !marks.length || (kind !== "aim" && !counts);
    said.classList.toggle("faint", needed);
    if (needed) {
      said.replaceChildren(marks.length ? "Tap each hole" : kind === "aim" ? "Tap where you aimed" : "First tap where you aimed",
        under(!marks.length && kind !== "aim" ? "Choose Aim for it" : board.isFar() ? "The picture comes closer" : "On its very middle"));
    } else if (kind === "aim") said.replaceChildren("Where you aimed", under(CORRECT));
    else {
      said.replaceChildren(counts, under(!found ? "Reading…"
        : holes[at] ? `${bind(photo.says(found.inches[at]))}, ${give(found)}` : capital(give(found))));
    }
    middle.hidden = kind !== "aim" || !photo.sheet.middle;
    remove.hidden = kind === "aim";
    remove.disabled = board.chosen < 1;
    next.textContent = kind === "aim" ? "Next: the holes" : "Use them";
    next.disabled = kind === "aim" ? !marks.length : !found;
  };
  const ask = reader(photo, said, () => marks.length > 1 && [marks[0], marks.slice(1)], show);
  pick();
  photo.screen("Shots", [kinds, said, board.box, tools(board, middle, remove)], [photo.notNow(), next], "looking shots");
  board.fit();
}

// Look at it nearer or whole, move a mark a little.
export function tools(board, ...more) {
  const one = (name, sign, by) => button(sign, () => board.nudge(...by), { "aria-label": name });
  const look = (name, sign, act) => button(sign, act, { "aria-label": name });
  return el("div", { class: "row tools" }, more,
    el("div", { class: "nudges", role: "group", "aria-label": "A little" },
      one("a little left", "←", [-1, 0]), one("a little down", "↓", [0, -1]),
      one("a little up", "↑", [0, 1]), one("a little right", "→", [1, 0])),
    el("div", { class: "nudges", role: "group", "aria-label": "Zoom" },
      look("Zoom out", "−", () => board.zoom(1 / 2)),
      look("All: the whole picture", "All", () => board.fit()),
      look("Zoom in", "+", () => board.zoom(2))));
}
