// From a photo of a printed sheet to what was seen on it: take it, its four marks, tap the holes.

import { button, choice, el, icon, svg } from "./dom.js";
import { Picture } from "./lens.js";
import { readShots, readTear, tools } from "./taps.js";
import { Away, Unpaired, image, postLong, upload } from "./wire.js";

// ``kind``: "tear" or "shots"; ``says(marks)``: a reading in words; ``use(marks)``: into the sheet.
// A mark that was read is {arrow, x, y}, inches from the point's hole or from where was aimed.
export function photoButton(kind, words, given) {
  return button([icon("photo"), el("span", {}, "From a photo")],
    () => new Photo(kind, words, given).open(), { class: "from-photo" });
}

class Photo {
  constructor(kind, words, given) {
    Object.assign(this, { kind, words, ...given });
    this.box = el("dialog", { id: "photo", "aria-labelledby": "photo-title" });
    this.urls = [];
    this.turn = 0; // what was asked before is not listened to any more
  }

  open() {
    document.body.append(this.box);
    this.box.addEventListener("close", () => this.ended());
    this.left = () => this.leave(); // another screen is shown behind it
    addEventListener("hashchange", this.left);
    this.box.showModal();
    this.how();
  }

  leave() {
    this.box.close();
    this.ended(); // now: the browser says that it closed only later, and taps come sooner
  }

  ended() {
    if (!this.box.isConnected) return;
    this.turn += 1;
    this.stop?.abort();
    removeEventListener("hashchange", this.left);
    for (const one of this.urls) URL.revokeObjectURL(one);
    this.box.remove();
  }

  screen(title, body, acts, look = "") {
    this.box.className = look;
    const out = button(svg("svg", { viewBox: "0 0 24 24", class: "icon", "aria-hidden": "true" },
      svg("path", { d: "M15 4 7 12l8 8" })), () => this.leave(), { class: "out", "aria-label": "Leave the photo" });
    this.box.replaceChildren(el("header", {}, out, el("h2", { id: "photo-title", tabindex: "-1" }, title)),
      el("div", { class: "photo-pane" }, body), el("div", { class: "send" }, acts));
    this.box.querySelector("h2").focus({ preventScroll: true });
  }

  notNow() { return button("Not now", () => this.leave(), { class: "cancel" }); }

  // ---- take it

  files(again) {
    const one = (words, look, given) => el("label", { class: look }, words,
      el("input", {
        type: "file", accept: "image/jpeg,image/png", class: "unseen", ...given,
        onchange: (event) => { if (event.target.files[0]) this.take(event.target.files[0]); },
      }));
    return [one("Choose one", "cancel", {}), one(again ? "Take it again" : "Take the photo", "first", { capture: "environment" })];
  }

  how() {
    const sheet = this.kind === "tear"
      ? "Use a sheet printed by Vireton: shot through, or a tear reader laid on the torn paper with both holes in one window."
      : "Use the printed face that was shot at.";
    this.screen("From a photo", [
      el("ol", { class: "steps" }, el("li", {}, sheet),
        el("li", {}, "Lay it flat, printed side up."),
        el("li", {}, "Get all four black squares in the picture. They show the page where the inches are."),
        el("li", {}, "Keep shadows off the squares. Hold the phone still.")),
      drawn(),
      el("p", { class: "small" }, "The sheet must have hung level, printed side to the archer: its up counts as the archer's up. Check its two bars with a ruler once: a photo does not show a print at the wrong scale."),
    ], this.files());
  }

  async take(file) {
    this.file = file;
    this.shown = null;
    const most = this.words.photo_bytes;
    if (!["image/jpeg", "image/png"].includes(file.type)) {
      this.failed("This is no JPEG or PNG picture, and no other kind is read. Take it here, or save it as JPEG.");
      return;
    }
    if (file.size > most) {
      this.failed(`The picture has ${Math.round(file.size / 1e6)} MB, and at most ${most / 1e6} MB are read. Take it with the camera's usual size.`);
      return;
    }
    this.stop = new AbortController();
    await this.under("Sending the picture", async (doing) => {
      const sent = await upload("/api/pictures", file, this.stop.signal, (share) =>
        doing(share < 1 ? `Sending the picture, ${Math.floor(100 * share)} %` : "Looking for the four marks"));
      doing("Looking for the four marks");
      return { ...sent, ...(await this.find(sent.id, {})) };
    }, () => this.take(file));
  }

  find(id, given) { return postLong(`/api/pictures/${id}`, { kind: this.kind, ...given }); }

  // Wait for what ``ask`` gives, saying what is being done, and go on with it.
  async under(words, ask, again) {
    const turn = ++this.turn;
    const said = el("p", { class: "readout", role: "status" }, words);
    this.screen("From a photo", [said, el("div", { class: "work" })], [this.notNow()], "busy");
    try {
      const found = await ask((now) => { if (turn === this.turn) said.textContent = now; });
      const url = turn === this.turn && !(found.problem && this.shown) ? await this.image(found.id) : null;
      if (turn === this.turn) this.heard(found, url);
    } catch (error) {
      if (turn !== this.turn) return;
      if (error instanceof Away) this.failed(error.message || "The bench does not answer. The picture is still here.", [button("Try again", again, { class: "first" })]);
      else if (error instanceof Unpaired) this.failed("This phone is not paired. Scan the code at the bench, then take the photo again.");
      else this.failed(error.message);
    }
  }

  async image(id) {
    const url = URL.createObjectURL(await image(`/api/pictures/${id}/image`));
    this.urls.push(url);
    return url;
  }

  heard(found, url) {
    if (!found.problem) {
      this.sheet = { ...found, url };
      if (this.kind === "tear") readTear(this); else readShots(this);
      return;
    }
    if (url) this.shown = { id: found.id, url, width: found.width, height: found.height };
    this.told = found.problem;
    this.missing = found.missing;
    const byHand = this.missing.length
      ? [button(this.missing.length === 1 ? `Tap the ${this.missing[0]} mark` : "Tap the four marks", () => this.corners(), { class: "first" })] : null;
    this.failed(found.problem, byHand, true);
  }

  failed(words, acts, isSeen) {
    this.screen("Not read yet", [
      isSeen ? el("img", { class: "taken", src: this.shown.url, alt: "The picture that was taken" }) : null,
      el("p", { class: "why", role: "alert" }, words),
      acts ? el("div", { class: "row two again" }, this.files(true)) : null,
      isSeen ? el("p", { class: "small" }, "Sheet flat, all four marks in the picture, no shadow on one of them.") : null,
    ].filter(Boolean), acts ? [this.notNow(), ...acts] : this.files(true));
  }

  // ---- its corners, by hand

  corners() {
    const { missing } = this;
    const marks = [];
    let step = 0;
    let paper = this.words.units === "us" ? "letter" : "a4";
    const said = el("output", { class: "readout", "aria-live": "polite" });
    const board = new Picture({
      label: "The picture: put a mark on the middle of the corner mark that is asked for",
      ...this.shown, marks, only: () => step,
      put: (x, y) => Object.assign(marks[step] ??= { look: "corner", name: missing[step] }, { x, y }),
      changed: () => show(), looked: () => show(),
    });
    const next = button("", async () => {
      if (step < missing.length - 1) { step += 1; board.fit(); return; }
      const taps = Object.fromEntries(missing.map((one, k) => [one, [marks[k].x - 0.5, marks[k].y - 0.5]]));
      const { id } = this.shown;
      const scale = Math.max(...marks.map((one) => one.scale));
      const ask = async () => ({ id, ...(await this.find(id, { taps, scale, ...(missing.includes("upper left") ? { paper } : {}) })) });
      await this.under("Straightening the sheet", ask, () => next.click());
    }, { class: "first" });
    const before = button("Back", () => {
      if (step) { step -= 1; board.fit(); } else this.heard({ problem: this.told, missing }, null);
    }, { class: "cancel" });
    const show = () => {
      const corner = missing[step];
      said.replaceChildren(missing.length > 1 ? `${step + 1} of ${missing.length}: ${corner}` : `The ${corner} mark`,
        el("span", { class: "under" }, marks[step] ? "Drag the mark to correct it"
          : !board.isFar() ? "Tap the very middle of the square"
            : corner === "upper left" ? "Tap the square that is half black"
              : "Tap it, as you read the sheet"));
      next.disabled = !marks[step];
      next.textContent = step < missing.length - 1 ? "Next mark" : "Straighten it";
    };
    this.screen("Where the corners are", [said, board.box,
      missing.includes("upper left") ? choice("Paper", [["letter", "Letter"], ["a4", "A4"]], paper, (one) => { paper = one; }) : null,
      tools(board)].filter(Boolean), [before, next], "looking");
    board.fit();
  }
}

// A printed sheet with its four marks, the half-filled one upper left.
function drawn() {
  const mark = (x, y, half) => svg("path", { class: "ink", "fill-rule": "evenodd",
    d: `M${x} ${y}h9v9h-9zM${x + 2.2} ${y + (half ? 4.5 : 2.2)}h4.6v${half ? 2.3 : 4.6}h-4.6z` });
  return svg("svg", { class: "drawn", viewBox: "0 0 85 110", "aria-hidden": "true" },
    svg("path", { class: "sheet", d: "M1 1h83v108h-83z" }), mark(7, 7, true), mark(69, 7), mark(7, 94), mark(69, 94),
    svg("text", { x: 42.5, y: 57 }, "this way up"));
}
