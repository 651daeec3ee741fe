// A film of the first meter or two: a clip, the nock and the point in its frames, what they say.

import { ask, bind, button, capital, choice, el } from "./dom.js";
import { Clip } from "./clip.js";
import { Frames, counted, marked } from "./frames.js";
import { ARROWS, input } from "./sheets.js";
import { Away, Unpaired, jobPath, post } from "./wire.js";

const TABS = [["clip", "1 Clip"], ["marks", "2 Marks"], ["reading", "3 Reading"]];
const why = (words) => el("p", { class: "why", role: "status" }, words);

let held; // the clip that is open, kept while other screens are looked at

export function film(words, job, draft, changed) {
  const known = words.film;
  draft.arrow ??= "bare";
  draft.view ??= "above";
  draft.fps ??= String(known.usual_rate);
  draft.exposure ??= "";
  draft.off ??= "";
  draft.frames ??= {};
  if (held && held.name !== draft.clip) held = void held.close();
  let clip = held;
  let frames = null;
  let reading = null;
  let tab = "";
  const pane = el("div", {});
  const tabs = choice("What is shown", TABS, "", (one) => { to(one); changed(); });

  function to(one) {
    tab = one;
    tabs.querySelector(`[value="${one}"]`).checked = true;
    pane.className = `film-pane ${one}`;
    pane.replaceChildren(...{ clip: clipBody, marks: marksBody, reading: readingBody }[one]());
  }

  // The marks as `record --film` reads them.
  function table() {
    const off = draft.off.trim();
    return [`fps: ${draft.fps}`, draft.picture ? `picture: ${draft.picture.join(" x ")}` : "",
      draft.exposure ? `exposure: ${draft.exposure}` : "", off ? `off string: ${off}` : "",
      ...marked(draft).map((one) => [one, ...draft.frames[one].flat().map((at) => Number(at.toFixed(1)))].join(", ")),
    ].filter(Boolean).join("\n");
  }
  const told = () => [draft.arrow, draft.view, table()];
  const set = (key) => (value) => { draft[key] = value; changed(); };

  // ---- the clip

  function clipBody() {
    const have = marked(draft).length;
    const said = why(have ? `${counted(have)}.${clip ? "" : " Choose the same clip again to mark more."}` : "");
    said.hidden = !have;
    const file = (name, look, given) => el("label", { class: look }, name, el("input", {
      type: "file", accept: "video/*", class: "unseen", ...given,
      onchange: (event) => { if (event.target.files[0]) open(event.target.files[0], said); },
    }));
    const rates = [...new Set([...known.rates.map(String), draft.fps])];
    const shutters = [...new Set([...known.exposures, draft.exposure])].filter(Boolean);
    const shutter = el("select", { id: "shutter", onchange: (event) => set("exposure")(event.target.value) },
      el("option", { value: "" }, `not known (${known.usual_exposure})`), shutters.map((one) => el("option", { value: one }, one)));
    shutter.value = draft.exposure;
    return [
      // a correction is of the same arrow, seen from the same side
      ...(draft.correct ? [] : [
        choice("Which arrow", ARROWS.slice().reverse(), draft.arrow, set("arrow")),
        choice("From where", [["above", "From above"], ["beside", "From beside"]], draft.view, set("view"))]),
      el("ul", { class: "how" }, known.how.map((line) => el("li", {}, bind(line)))),
      said,
      el("div", { class: "row two" }, file("Film it now", "cancel", { capture: "environment" }),
        file(clip ? "Another clip" : "Choose the clip", "first", {})),
      el("p", { class: "small" }, "Slow motion is filmed with the phone's own camera and then chosen here. The clip stays on this phone: only its marks are sent."),
      el("h2", {}, "Filmed at, frames a second"),
      choice("Filmed at, frames a second", rates.map((one) => [one, one]), draft.fps, set("fps")),
      el("label", { class: "field", for: "shutter" }, el("span", {}, "Shutter"), shutter),
      input("Nock off the string in the first marked frame", draft, "off", changed, "1 ft"),
      el("p", { class: "small" }, "Leave it empty if that is the first frame with the nock off the string."),
    ];
  }

  async function open(file, said) {
    said.hidden = false;
    said.textContent = "Opening the clip…";
    let found;
    try {
      found = await Clip.open(file);
    } catch (error) {
      said.textContent = error.message;
      return;
    }
    if (!pane.isConnected) { found.close(); return; }
    const size = [found.width, found.height];
    const have = marked(draft).length;
    const anew = () => {
      Object.assign(draft, { frames: {}, anchor: null });
      // a file with that many frames a second is not slowed down
      if (known.rates.includes(Math.round(found.rate)) && found.rate > 100) draft.fps = String(Math.round(found.rate));
      use(found);
    };
    if (!have || String(size) !== String(draft.picture)) anew();
    else if (draft.clip === found.name) use(found);
    else {
      ask("Is it the same clip?", [el("p", {}, `${counted(have)} already, by its name in another clip.`)],
        [["The same: go on", () => use(found), "first"], ["Another one: start over", anew, "warn"]]);
    }
  }

  function use(found) {
    if (held !== found) held?.close();
    held = clip = found;
    frames = null;
    Object.assign(draft, { clip: clip.name, picture: [clip.width, clip.height] });
    to("marks");
    changed();
  }

  // ---- the marks

  function marksBody() {
    const have = marked(draft).length;
    if (!clip) return [why(have ? `${counted(have)}. Choose the same clip again to see them.` : "Choose the clip first.")];
    frames ??= new Frames({ clip, draft, known, changed, read: () => { to("reading"); changed(); } });
    return frames.body();
  }

  // ---- what they say

  function readingBody() {
    const numbers = marked(draft);
    const body = el("div", { class: "told", "aria-live": "polite" });
    const again = numbers.length ? [el("h2", {}, "Look at a frame again"), el("div", { class: "row numbers" }, numbers.map((one) =>
      button(String(one), () => { to("marks"); frames?.wind(one, true); changed(); }, { "aria-label": `Frame ${one}` })))] : [];
    if (numbers.length < known.fewest) {
      body.append(why(`${counted(numbers.length)}, ${known.fewest} are needed.`), el("p", {}, `${known.marking}.`));
      return [body, ...again];
    }
    const asked = table();
    const heard = (found) => {
      if (!body.isConnected) return;
      reading = { of: asked, ...found };
      body.replaceChildren(...found.refused
        ? [el("p", { class: "warn", role: "alert" }, `${capital(found.refused)}.`)]
        : [el("p", { class: "says" }, bind(`${found.said}.`)), ...found.warnings.map((one) => el("p", {}, `${capital(one)}.`))]);
      changed();
    };
    body.append(el("p", { class: "readout" }, "Reading…"), el("div", { class: "work" }));
    post(`${jobPath(job.name)}/film`, { film: told() }).then(heard, (error) => heard(
      error instanceof Away || error instanceof Unpaired
        ? { said: "The bench does not answer", warnings: ["record it all the same: it is read once the bench answers, and comes back if it cannot be of this bow"] }
        : { refused: error.message }));
    return [body, ...again];
  }

  to(draft.correct && marked(draft).length ? "reading" : "clip");
  return {
    title: "Film", body: [tabs, pane],
    entry: () => (tab === "reading" && reading?.of === table() && !reading.refused ? {
      typed: { film: [told()] }, said: `${draft.arrow} arrow filmed from ${draft.view}, ${marked(draft).length} frames`,
    } : null),
  };
}
