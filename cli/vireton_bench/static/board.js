// A sheet on which marks are put with a finger, a mouse or the arrow keys. Sizes are inches.

import { BY_KEY, svg } from "./dom.js";

const NEAR = 26; // px: a finger that comes down this near to a mark may drag it
const ON = 9;    // px: a tap this near means that mark, farther off a new one
const MOVED = 6; // px: less is a tap

// ``half``: inches from the middle to the edge, across; ``grain``: what marks snap to;
// ``marks``: [{x, y, ...}], changed in place; ``draw(layer, half, marks, chosen)`` fills the sheet;
// ``put(x, y)``: a new mark or null; ``lock``: "x" for marks that only go sideways; ``single``: one
// mark, which goes where it is tapped.
export class Board {
  constructor({ label, half, grain, marks, draw, put, changed, lock, single }) {
    Object.assign(this, { half, grain, marks, draw, put, changed, lock, single });
    this.chosen = marks.length - 1;
    this.layer = svg("g");
    this.view = svg("svg", {
      class: "board", viewBox: "-100 -100 200 200", tabindex: "0", role: "application",
      "aria-label": label,
      onpointerdown: (event) => this.down(event), onpointermove: (event) => this.move(event),
      onpointerup: (event) => this.up(event), onpointercancel: (event) => this.up(event),
      onkeydown: (event) => this.key(event),
    }, this.layer);
    this.show();
  }

  at(event) {
    const box = this.view.getBoundingClientRect();
    const scale = Math.min(box.width, box.height);
    const x = (event.clientX - box.left - box.width / 2) / scale * 2 * this.half;
    const y = (box.top + box.height / 2 - event.clientY) / scale * 2 * this.half;
    return { x, y, px: scale / 2 / this.half };
  }

  snap(value, most = this.half) {
    const inside = Math.min(most, Math.max(-most, value));
    return Number((Math.round(inside / this.grain) * this.grain).toFixed(6));
  }

  down(event) {
    event.preventDefault();
    this.view.classList.add("by-hand");
    this.view.focus({ preventScroll: true });
    const { x, y, px } = this.at(event);
    const far = (one) => Math.hypot(one.x - x, one.y - y) * px;
    let near = -1;
    this.marks.forEach((one, k) => {
      if (!this.single && far(one) < NEAR && (near < 0 || far(one) < far(this.marks[near]))) near = k;
    });
    this.tapped = null;
    if (near < 0) {
      const made = this.put(this.snap(x), this.snap(y));
      if (made === null) return;
      near = this.marks.indexOf(made);
      this.offset = [0, 0];
    } else {
      this.offset = [this.marks[near].x - x, this.marks[near].y - y];
      if (far(this.marks[near]) > ON) this.tapped = { x, y };
    }
    this.chosen = near;
    this.held = true;
    this.from = [event.clientX, event.clientY];
    this.view.setPointerCapture(event.pointerId);
    this.changed();
    this.show();
  }

  move(event) {
    if (!this.held) return;
    if (this.from && Math.hypot(event.clientX - this.from[0], event.clientY - this.from[1]) < MOVED) {
      return;
    }
    this.from = this.tapped = null;
    const { x, y } = this.at(event);
    const mark = this.marks[this.chosen];
    mark.x = this.snap(x + this.offset[0]);
    if (this.lock !== "x") mark.y = this.snap(y + this.offset[1]);
    this.changed();
    this.show();
  }

  up() {
    const { held, tapped } = this;
    this.held = false;
    if (!held || !tapped) return;
    // beside a mark and not dragged: an arrow of its own, as close groups have them
    const made = this.put(this.snap(tapped.x), this.snap(tapped.y));
    if (made) this.chosen = this.marks.indexOf(made);
    this.changed();
    this.show();
  }

  nudge(right, up) {
    if (this.chosen < 0) {
      const made = this.put(0, 0);
      if (made) this.chosen = this.marks.indexOf(made);
    }
    const mark = this.marks[this.chosen];
    if (!mark) return;
    mark.x = this.snap(mark.x + right * this.grain);
    if (this.lock !== "x") mark.y = this.snap(mark.y + up * this.grain);
    this.changed();
    this.show();
  }

  key(event) {
    this.view.classList.remove("by-hand");
    if (event.key in BY_KEY) this.nudge(...BY_KEY[event.key]);
    else if (event.key === "Enter" || event.key === " ") {
      const made = this.put(0, 0);
      if (made) this.chosen = this.marks.indexOf(made);
      this.changed();
      this.show();
    } else return;
    event.preventDefault();
  }

  // Sheet units are a hundredth of half the width.
  show() {
    const size = 100 / this.half;
    this.view.dataset.half = this.half;
    this.layer.replaceChildren(...this.draw(size, this.chosen).flat());
  }
}

export function line(x1, y1, x2, y2, look) {
  return svg("line", { x1, y1: -y1, x2, y2: -y2, class: look });
}
export function circle(x, y, r, look) {
  return svg("circle", { cx: x, cy: -y, r, class: look });
}
export function label(x, y, words, look = "") {
  return svg("text", { x, y: -y, class: look }, words);
}
