// The frames of a clip, stepped one by one, with the nock and the point marked in each.

import { button, choice, el } from "./dom.js";
import { Picture } from "./lens.js";
import { tools } from "./taps.js";

const NAMES = ["nock", "point"];
const CARRIED = 3; // frames from a marked one, within which its marks are carried on
const ENOUGH = 4;  // with fewer the reading warns
const under = (words) => el("span", { class: "under" }, words);

// Numbers of the frames in which both ends are marked.
export const marked = (draft) => Object.keys(draft.frames).map(Number).sort((a, b) => a - b)
  .filter((one) => draft.frames[one].every(Boolean));
export const counted = (n) => `${n} frame${n === 1 ? "" : "s"} marked`;

// ``draft.frames``: by number where nock and point are, each [x, y] or null. ``changed()`` hears of
// a mark, ``read()`` that all are set.
export class Frames {
  constructor({ clip, draft, known, changed, read }) {
    Object.assign(this, { clip, draft, known, changed });
    if (draft.anchor) clip.hold(...draft.anchor);
    this.marks = []; // of the frame that is shown; a guess counts for nothing
    this.number = -1;
    this.step = 0;
    this.said = el("output", { class: "readout", "aria-live": "polite" });
    this.ends = choice("Which end is tapped", [[0, "Nock"], [1, "Point"]], 0, (one) => this.turn(Number(one)));
    this.next = button("", () => this.go(), { class: "first" });
    this.away = button("Take away", () => this.clear());
    this.read = button("Read it", read);
    this.slider = el("input", {
      type: "range", min: 0, max: clip.count - 1, step: 1, "aria-label": "Frame",
      oninput: (event) => this.wind(Number(event.target.value)),
    });
    this.board = new Picture({
      label: "The frame: put a mark on the nock's throat and on the tip of the point",
      url: null, width: clip.width, height: clip.height, marks: this.marks, only: () => this.step,
      put: (x, y) => Object.assign(this.marks[this.step] ??= { name: NAMES[this.step] }, { x, y }),
      changed: () => this.sure(), looked: () => this.show(),
    });
    this.wind(marked(draft).at(-1) ?? 0);
  }

  body() {
    const by = (n, sign, name) => button(sign, () => this.wind(this.asked + n), { "aria-label": name, class: "by" });
    return [this.said, this.board.box, this.ends,
      el("div", { class: "row frames" }, by(-1, "‹", "Frame before"), this.slider, by(1, "›", "Frame after")),
      tools(this.board, this.away, this.read), this.next];
  }

  // Show the frame that is asked for last; what is asked meanwhile is forgotten.
  async wind(asked, near) {
    this.asked = Math.min(this.clip.count - 1, Math.max(0, asked));
    this.near = near;
    if (this.winding) return;
    this.winding = true;
    try {
      let want;
      do {
        want = this.asked;
        this.shows(await this.seen(want));
      } while (want !== this.asked);
      this.asked = this.number;
    } catch {
      this.said.replaceChildren("This frame cannot be shown", under("Choose the clip again"));
    }
    this.winding = false;
  }

  // A file that left a frame out shows the one before it once more: on to the next.
  async seen(want) {
    let shown = await this.clip.show(want);
    for (let more = 1; more <= CARRIED && want > this.number && shown.number === this.number; more += 1) {
      shown = await this.clip.show(want + more);
    }
    return shown;
  }

  shows({ number, time, url }) {
    this.board.another(url);
    if (number === this.number && !this.near) return;
    Object.assign(this, { number, time });
    this.stand();
    this.turn(0, this.near);
  }

  // ---- its marks

  stand() {
    const at = this.draft.frames[this.number] ?? [null, null];
    const carried = this.guess();
    const made = NAMES.map((name, k) => {
      const place = at[k] ?? carried?.[k];
      return place && { x: place[0], y: place[1], name, guess: !at[k], look: at[k] ? name : `${name} guess` };
    });
    this.marks.splice(0, 2, ...(made[0] ? made.filter(Boolean) : []));
  }

  // Where both ends would be if the arrow went on as it did.
  guess() {
    const n = this.number;
    const near = marked(this.draft).filter((one) => one !== n).sort((a, b) => Math.abs(a - n) - Math.abs(b - n));
    if (!near.length || Math.abs(near[0] - n) > CARRIED) return null;
    const [one, other] = near;
    const from = this.draft.frames[one];
    const share = 0.5 * this.known.usual_rate / Number(this.draft.fps); // of its length, from frame to frame, at first
    const found = from.map((place, k) => place.map((value, axis) => value + (n - one) * (other === undefined
      ? share * (from[1][axis] - from[0][axis])
      : (value - this.draft.frames[other][k][axis]) / (one - other))));
    const inside = ([x, y]) => x > 0 && y > 0 && x < this.clip.width && y < this.clip.height;
    return found.every(inside) ? found : null;
  }

  // The mark is where the end is: it was put or moved there, or said to be right.
  sure() {
    const mark = this.marks[this.step];
    if (!mark) return;
    Object.assign(mark, { look: NAMES[this.step], guess: false });
    if (!this.draft.anchor) {
      this.draft.anchor = [this.number, this.time];
      this.clip.hold(...this.draft.anchor);
    }
    const at = this.draft.frames[this.number] ??= [null, null];
    at[this.step] = [mark.x, mark.y];
    this.show();
    this.changed();
  }

  clear() {
    delete this.draft.frames[this.number];
    this.stand();
    this.turn(0);
    this.changed();
  }

  // To the nock or the point; ``near``: where it is, or where to look for it.
  turn(step, near) {
    this.step = step && this.marks[0] ? 1 : 0;
    this.ends.querySelector(`[value="${this.step}"]`).checked = true;
    const mark = this.marks[this.step];
    if (mark && (near || !this.board.isFar())) this.board.closeUp(mark.x, mark.y);
    else if (near) this.board.fit();
    this.show();
    this.board.show();
  }

  go() {
    if (this.marks[this.step].guess) this.sure();
    if (this.step === 0) this.turn(1, true);
    else this.wind(this.number + 1, true);
  }

  show() {
    const mark = this.marks[this.step];
    const name = NAMES[this.step];
    const full = marked(this.draft).length;
    const how = mark?.guess ? "If not, tap where it is" : !mark && this.board.isFar() ? "The picture comes closer"
      : full < this.known.fewest ? `${this.known.fewest} are needed` : full < ENOUGH ? `${ENOUGH} or more tell far more` : "";
    this.said.classList.toggle("faint", !mark);
    this.said.replaceChildren(mark?.guess ? `Is the ${name} there?` : mark ? `The ${name}` : `Tap the ${name}`,
      under(`Frame ${this.number}. ${counted(full)}${how ? `. ${how}` : ""}`));
    const act = mark?.guess ? `The ${name} is there` : this.step ? "Next frame" : "Next: the point";
    if (this.next.textContent !== act) this.next.textContent = act;
    this.next.disabled = !mark || (this.step === 1 && !mark.guess && this.number >= this.clip.count - 1);
    this.away.disabled = !this.draft.frames[this.number];
    this.read.disabled = full < this.known.fewest;
    this.slider.value = this.number;
  }
}
