// A picture on which marks are put: it is moved, pinched nearer, and looked at through a lens.
// Places count in pixels of the picture, rows downwards, from its upper left edge.

import { BY_KEY, el, svg } from "./dom.js";

const NEAR = 30;   // px: a finger that comes down this near to a mark drags it
const ON = 9;      // px: a tap this near means that mark
const MOVED = 6;   // px: less is a tap
const CLOSE = 1;   // pixels of the picture in one of the screen's, where marks are put exactly
const CLOSEST = 0.25;
const LENS = 132;  // px, and how much it enlarges
const LARGER = 2;

// ``marks``: [{x, y, look, name}], changed in place; ``put(x, y)``: the mark that a tap puts or
// moves, or null; ``looked()``: it is seen nearer or farther; ``only()``: the index of the one mark that may be dragged, or null for all.
// ``guess``: a mark that nobody put yet.
// Each mark keeps the ``scale`` at which it was put: picture pixels in one of the screen's.
export class Picture {
  constructor({ label, url, width, height, marks, put, changed, looked, only }) {
    Object.assign(this, { width, height, marks, put, changed, looked, only });
    this.chosen = -1;
    this.fingers = new Map();
    const image = () => svg("image", { href: url, width, height, preserveAspectRatio: "none" });
    this.layer = svg("g");
    this.view = svg("svg", {
      class: "board photo", tabindex: "0", role: "application", "aria-label": label,
      onpointerdown: (event) => this.down(event), onpointermove: (event) => this.move(event),
      onpointerup: (event) => this.up(event), onpointercancel: (event) => this.up(event),
      onkeydown: (event) => this.key(event),
    }, image(), this.layer);
    // a wheel that a page may not scroll with has to be listened to as such
    this.view.addEventListener("wheel", (event) => this.wheel(event), { passive: false });
    const r = LENS / 2;
    this.lens = svg("svg", { class: "lens", "aria-hidden": "true", hidden: true }, image(),
      svg("g", {}, svg("path", { class: "under", d: cross(r, 7) }), svg("path", { d: cross(r, 7) })));
    this.box = el("div", { class: "photo-box" }, this.view, this.lens);
    this.whole = true;
    new ResizeObserver(() => (this.whole ? this.fit() : this.show())).observe(this.box);
  }

  // Another picture of this size in its place.
  another(url) {
    for (const one of [this.view, this.lens]) one.firstChild.setAttribute("href", url);
  }

  // ---- what is looked at

  fit() {
    const { width, height } = this.box.getBoundingClientRect();
    if (!width || !height) return;
    this.scale = this.most = Math.max(this.width / width, this.height / height);
    this.center = [this.width / 2, this.height / 2];
    this.whole = true;
    this.show();
    this.looked();
  }

  closeUp(x, y) {
    this.scale = Math.min(this.scale, CLOSE);
    this.center = [x, y];
    this.whole = false;
    this.show();
    this.looked();
  }

  // Nearer by a factor, about a place of the screen or the middle.
  zoom(by, client) {
    const box = this.box.getBoundingClientRect();
    const [across, down] = client
      ? [client[0] - box.left - box.width / 2, client[1] - box.top - box.height / 2] : [0, 0];
    const scale = Math.min(this.most, Math.max(CLOSEST, this.scale / by));
    this.center = [this.center[0] + across * (this.scale - scale), this.center[1] + down * (this.scale - scale)];
    this.scale = scale;
    this.whole = scale === this.most;
    if (this.whole) this.center = [this.width / 2, this.height / 2];
    this.show();
    this.looked();
  }

  at(event) {
    const box = this.box.getBoundingClientRect();
    return [this.center[0] + (event.clientX - box.left - box.width / 2) * this.scale,
      this.center[1] + (event.clientY - box.top - box.height / 2) * this.scale];
  }

  inside(x, y) {
    return [Math.min(this.width, Math.max(0, x)), Math.min(this.height, Math.max(0, y))];
  }

  // ---- fingers

  down(event) {
    event.preventDefault();
    this.view.classList.add("by-hand");
    this.view.focus({ preventScroll: true });
    this.view.setPointerCapture(event.pointerId);
    this.fingers.set(event.pointerId, [event.clientX, event.clientY]);
    if (this.fingers.size > 1) { this.held = null; this.moved = true; this.lens.setAttribute("hidden", ""); return; }
    this.from = [event.clientX, event.clientY];
    this.moved = false;
    const place = this.at(event);
    const mark = this.near(place, NEAR);
    this.held = mark && { mark, offset: [mark.x - place[0], mark.y - place[1]] };
  }

  near([x, y], within) {
    const only = this.only?.() ?? null;
    let found = null;
    let least = within * this.scale;
    this.marks.forEach((one, k) => {
      const far = Math.hypot(one.x - x, one.y - y);
      if ((only === null || only === k) && far < least) { found = one; least = far; }
    });
    return found;
  }

  move(event) {
    const was = this.fingers.get(event.pointerId);
    if (!was) return;
    const now = [event.clientX, event.clientY];
    if (this.fingers.size > 1) { this.pinch(event.pointerId, was, now); return; }
    if (!this.moved && Math.hypot(now[0] - this.from[0], now[1] - this.from[1]) < MOVED) return;
    this.moved = true;
    this.fingers.set(event.pointerId, now);
    if (this.held) {
      const { mark, offset } = this.held;
      const place = this.at(event);
      [mark.x, mark.y] = this.inside(place[0] + offset[0], place[1] + offset[1]);
      mark.scale = this.scale;
      this.chosen = this.marks.indexOf(mark);
      this.through(mark, now);
    } else {
      this.center = this.inside(this.center[0] - (now[0] - was[0]) * this.scale,
        this.center[1] - (now[1] - was[1]) * this.scale);
      this.whole = false;
    }
    this.show();
  }

  pinch(id, was, now) {
    const [other] = [...this.fingers].filter(([one]) => one !== id).map(([, place]) => place);
    const apart = ([x, y]) => Math.max(Math.hypot(x - other[0], y - other[1]), 1);
    this.fingers.set(id, now);
    this.center = this.inside(this.center[0] - (now[0] - was[0]) / 2 * this.scale,
      this.center[1] - (now[1] - was[1]) / 2 * this.scale);
    this.zoom(apart(now) / apart(was), [(now[0] + other[0]) / 2, (now[1] + other[1]) / 2]);
  }

  up(event) {
    this.fingers.delete(event.pointerId);
    this.lens.setAttribute("hidden", "");
    if (this.fingers.size) return;
    if (this.held && this.moved) this.changed();
    else if (!this.moved && event.type === "pointerup") this.tap(this.at(event));
    this.held = null;
    this.moved = true;
  }

  tap(place) {
    const [x, y] = this.inside(...place);
    let mark = this.near(place, ON);
    if (mark?.guess) mark = null; // it goes where it is tapped
    if (!mark && this.isFar()) { // a finger is too thick for a hole from there: first go near
      this.closeUp(x, y);
      return;
    }
    if (!mark) {
      mark = this.put(x, y);
      if (mark) mark.scale = this.scale;
    }
    if (mark) this.chosen = this.marks.indexOf(mark);
    this.changed();
    this.show();
  }

  isFar() { return this.scale > 1.3 * CLOSE; }

  wheel(event) {
    event.preventDefault();
    this.zoom(event.deltaY < 0 ? 1.2 : 1 / 1.2, [event.clientX, event.clientY]);
  }

  nudge(right, up) {
    const mark = this.marks[this.only?.() ?? this.chosen];
    if (!mark) { this.tap(this.center); return; }
    const step = Math.max(1, this.scale);
    [mark.x, mark.y] = this.inside(mark.x + right * step, mark.y - up * step);
    mark.scale = this.scale;
    this.changed();
    this.show();
  }

  key(event) {
    this.view.classList.remove("by-hand");
    if (event.key in BY_KEY) this.nudge(...BY_KEY[event.key]);
    else if (event.key === "Enter" || event.key === " ") this.tap(this.center);
    else if (event.key === "+" || event.key === "=") this.zoom(1.5);
    else if (event.key === "-") this.zoom(1 / 1.5);
    else return;
    event.preventDefault();
  }

  // ---- what is seen

  // The lens, away from the finger.
  through(mark, [x, y]) {
    const box = this.box.getBoundingClientRect();
    this.lens.classList.toggle("right", x - box.left < box.width / 2 && y - box.top < LENS * 1.6);
    const wide = LENS * this.scale / LARGER;
    this.lens.setAttribute("viewBox", `${mark.x - wide / 2} ${mark.y - wide / 2} ${wide} ${wide}`);
    this.lens.lastChild.setAttribute("transform", `translate(${mark.x} ${mark.y}) scale(${wide / LENS})`);
    this.lens.removeAttribute("hidden");
  }

  show() {
    const { width, height } = this.box.getBoundingClientRect();
    if (!width || !height || !this.scale) return;
    const [wide, high] = [width * this.scale, height * this.scale];
    this.view.setAttribute("viewBox",
      `${this.center[0] - wide / 2} ${this.center[1] - high / 2} ${wide} ${high}`);
    const active = this.only?.() ?? this.chosen;
    this.layer.replaceChildren(...this.marks.map((one, k) => svg("g", {
      class: `put ${one.look}${k === active ? " active" : ""}`,
      transform: `translate(${one.x} ${one.y}) scale(${this.scale})`,
    }, svg("circle", { class: "under", r: 15 }), svg("path", { class: "under", d: cross(24, 4) }),
    svg("circle", { r: 15 }), svg("path", { d: cross(24, 4) }),
    one.name ? svg("text", { x: 20, y: -14 }, one.name) : null)));
  }
}

// Four lines towards a middle that they leave free.
const cross = (far, near) => `M${-far} 0H${-near}M${near} 0H${far}M0 ${-far}V${-near}M0 ${near}V${far}`;
