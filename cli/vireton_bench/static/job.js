// One bow: what to do next at arm's length; its history; what if; the end.

import { ask, bind, button, capital, el, icon, svg } from "./dom.js";
import { circle, label, line } from "./board.js";
import { get, jobPath, waiting } from "./wire.js";

const TAPS = [
  ["tear", "Paper tear"], ["shots", "Shots"], ["moved", "Moved"],
  ["changed", "Changed"], ["found", "Found"], ["walkback", "Walk-back"],
  ["history", "History"], ["more", "More"], ["done", "Done"],
];
const WENT = { better: "▲", worse: "▼", "no telling": "◆" };

export function jobScreen(job, go, record) {
  const screen = el("div", { class: "bow" });
  screen.append(el("section", { class: "answer", "aria-label": "What to do next" }, answer(job, go)),
    el("div", { class: "thumb" }, first(job, go, record),
      el("nav", { class: "taps", "aria-label": "Record" }, TAPS.map(([key, words]) =>
        el("a", { href: go.to(key), class: "tap" }, icon(key), el("span", {}, words))))));
  return screen;
}

function answer(job, go) {
  const pending = waiting(job.name);
  if (pending.length) {
    const held = pending.find((one) => one.state);
    const last = pending[pending.length - 1];
    return [
      el("p", { class: "call" }, held ? "One entry has a question" : go.away() ? "Kept on this phone" : "Recording…"),
      el("p", { class: "why" }, held ? held.said : `${last.said}${pending.length > 1
        ? `, and ${pending.length - 1} more` : ""}`),
      go.away() && !held ? el("p", { class: "more" },
        "The bench does not answer. It goes in by itself once it does; go on recording.") : null,
      held || go.away() ? null : el("div", { class: "work", role: "progressbar", "aria-label": "Recording" }),
    ];
  }
  if (job.problem) return [el("p", { class: "call small-call" }, "This job cannot be read"), el("p", { class: "why" }, job.problem)];
  const advice = job.advice;
  if (!advice) {
    return [el("p", { class: "call" }, "Working it out…"),
      el("p", { class: "why" }, go.doing() || "what the last arrows say of this bow"),
      el("div", { class: "work", role: "progressbar", "aria-label": "Working it out" })];
  }
  if (advice.no_advice) return [el("p", { class: "call small-call" }, "No advice"), el("p", { class: "why" }, advice.no_advice)];
  if (job.is_done) {
    return [el("p", { class: "call" }, "Handed over"), el("p", { class: "why" }, "Everything is in the job. When the bow is back: More, then Came back."),
      el("p", { class: "more" }, `As it stands: ${advice.call}.`)];
  }
  const size = advice.call.length > 44 ? "small-call" : advice.call.length > 24 ? "mid-call" : "";
  const danger = advice.warnings.map((one) => el("p", { class: "danger" }, one));
  const went = advice.happened ? el("p", { class: `went ${advice.went.replace(" ", "-")}` },
    el("span", { class: "sign", "aria-hidden": "true" }, WENT[advice.went]), ` ${bind(advice.happened)}.`) : null;
  const moved = job.moved?.length && !advice.happened
    ? job.moved.slice(0, 3).map((one) => el("p", { class: "more" }, one)) : [];
  const more = advice.more.map((one) => el("p", { class: "more" }, colon(one)));
  return [...danger, went, el("p", { class: `call ${size}` }, bind(advice.call)),
    el("p", { class: "why" }, sentence(advice.why)), ...moved, ...more,
    advice.is_new ? el("p", { class: "more caution" }, advice.caution) : null];
}

const sentence = (text) => bind(text ? `${capital(text)}${/[.?!]$/.test(text) ? "" : "."}` : "");
// "Look for tail left 1/4 in", "Now at 20 yd: 0.6 in": the lead in bold
function colon(said) {
  const text = bind(said);
  const found = text.match(/^[^.:]{0,70}?\blook for\b/i)?.[0].length;
  const at = found ?? text.indexOf(": ") + 1;
  return found || (at > 1 && at < 29) ? [el("strong", {}, text.slice(0, at)), text.slice(at)] : text;
}

// The one thing that the answer asks for, as one button.
function first(job, go, record) {
  const advice = job.advice;
  if (!advice || advice.no_advice || job.problem || waiting(job.name).length) return null;
  const wide = { class: "first" };
  if (job.is_done) return el("a", { href: go.to("visit"), ...wide }, "Came back");
  if (advice.verdict === "move") return el("a", { href: go.to("moved", "advised"), ...wide }, "I did this");
  if (advice.verdict === "shoot") {
    const [kind, view] = advice.test.kind.split(" ");
    if (kind === "film") return el("a", { href: go.to("film", view), ...wide }, "Mark the film");
    const tear = kind === "tear";
    return el("a", { href: go.to(tear ? "tear" : "shots"), ...wide }, tear ? "Tap in the tear" : "Tap in the shots");
  }
  if (advice.verdict === "stop") return el("a", { href: go.to("done"), ...wide }, "Done: what to hand over");
  if (advice.verdict === "look" && advice.looked) {
    const said = (so) => () => record("add", { looked: [`${advice.looked} ${so}`] }, `looked: ${so}`);
    return el("div", { class: "row two" }, button("It was so", said("yes"), wide), button("It was not", said("no"), wide));
  }
  if (advice.cured) {
    return button(capital(advice.cured),
      () => record("add", { found: [advice.cured] }, advice.cured), wide);
  }
  return null;
}


// ---- history

const CORRECTED = [
  ["tears", "tear", (one) => `the ${one.arrow} tear`],
  ["groups", "shots", () => "the shots"],
  ["changes", "changed", (one) => one.what],
  ["found", "found", (one) => one.what],
  ["walkback", "walkback", () => "the walk-back"],
  ["films", "film", (one) => `the ${one.arrow} arrow's film from ${one.view}`],
];
const which = (one) => `${one.arrow ?? one.what} ${one.view ?? ""}`;

export function history(job, words, go, record) {
  const rounds = job.rounds || [];
  const last = rounds.find((one) => one.counts);
  const rows = rounds.map((one) => el("li", { class: one.counts ? "round" : "round gone" },
    el("div", { class: "round-head" },
      el("strong", {}, `Round ${one.number}`), el("span", {}, one.date || ""),
      one.corrected ? el("span", { class: "tag" }, "corrected") : null,
      one.counts || one.said[0]?.includes("corrects") || one.said[0]?.includes("takes back") ? null
        : el("span", { class: "tag" }, "taken back, kept")),
    el("ul", {}, one.said.map((text, k) => el("li", {}, capital(bind(k ? text : text.replace(/^Round \d+[.,]? ?/, "") || text))))),
    one.was.length ? el("p", { class: "small" }, `As it was typed first: ${one.was.join("; ")}`) : null,
    one.counts ? el("div", { class: "row two" },
      button("Correct a typing mistake", () => corrections(job, one, one === last, words, go, record), { class: "quiet" }),
      one.number === job.can_put_back
        ? button("Put it back on the bow", () => backs(one, record), { class: "back-on" }) : null) : null));
  return [
    el("p", { class: "small" }, "Nothing is ever erased. A typing mistake is corrected on paper; what the bow did not like is put back on the bow, and counts."),
    rows.length ? el("ol", { class: "rounds" }, rows) : el("p", { class: "empty" }, "No round yet."),
  ];
}

function backs(one, record) {
  ask("Put it back on the bow?", [el("p", {}, "Set the bow as it was before:"),
    el("ul", {}, one.said.slice(0, 3).map((text) => el("li", {}, text))),
    el("p", {}, "This is a new round; what you shoot after it counts.")],
  [["It is back", () => record("back", {}, `put back round ${one.number}`), "first"], ["Not now", () => {}, ""]]);
}

function corrections(job, one, isLast, words, go, record) {
  const acts = [];
  for (const [key, sheet, said] of CORRECTED) {
    const seen = one.told[key] || [];
    if (!seen.length) continue;
    if (sheet === "shots" && seen.some((group) => group.distance_yd !== seen[0].distance_yd)) continue;
    const groups = sheet === "shots" || sheet === "walkback" ? [seen] : seen.map((entry) => [entry]);
    for (const entries of groups) {
      const same = seen.filter((other) => which(other) === which(entries[0]));
      if (groups.length > 1 && same.length > 1) continue;
      acts.push([`Correct ${said(entries[0])}`, () => go.correct(sheet, draftOf(sheet, entries, one, words)), ""]);
    }
  }
  if (one.told.moved_right_in || one.told.moved_up_in) {
    acts.push(["Correct the move", () => go.correct("moved", { correct: one.number }), ""]);
  }
  if (isLast) {
    acts.push(["Take the whole round back: it never happened", () => record("undo", {}, `take back round ${one.number}`, one.number), "warn"]);
  }
  acts.push(["Leave it", () => {}, ""]);
  ask(`Round ${one.number}: what was typed wrong?`, [el("p", {}, "Tap in what it should have been. The bow is not touched, and the old entry stays in the file.")], acts);
}

function draftOf(sheet, entries, one, words) {
  const draft = { correct: one.number };
  const at = (yards, list) => list.reduce((best, row) => (Math.abs(row.yards - yards) < Math.abs(best.yards - yards) ? row : best)).words;
  const [entry] = entries;
  if (sheet === "tear") {
    return { ...draft, arrow: entry.arrow, at: at(entry.distance_yd, words.paper), mark: { x: entry.right_in, y: entry.up_in } };
  }
  if (sheet === "shots") {
    return { ...draft, at: at(entry.distance_yd, words.targets),
      marks: entries.flatMap((group) => group.shots_in.map(([x, y]) => ({ arrow: group.arrow, x, y }))) };
  }
  if (sheet === "walkback") return draft;
  if (sheet === "film") {
    return { ...draft, arrow: entry.arrow, view: entry.view, fps: String(entry.frames_a_second), picture: entry.picture,
      exposure: `1/${Math.round(1 / entry.exposure_s)} s`, off: entry.off_string_in === null ? "" : `${entry.off_string_in} in`,
      frames: Object.fromEntries(entry.frames.map(([n, ...at]) => [n, [at.slice(0, 2), at.slice(2)]])) };
  }
  return { ...draft, what: entry.what, where: entry.where, how: entry.how, arrow: entry.arrow };
}

// ---- what if

export function whatif(job, words) {
  const reach = words.whatif;
  const at = { right: 0, up: 0, nock: 0, wind: 0, vanes: 0, distance: 20 };
  const picture = svg("svg", { viewBox: "-100 -100 200 200", class: "board still", role: "img", "aria-label": "Where both arrows land" });
  const lines = el("div", { class: "said", "aria-live": "polite" });
  const size = (n, plus, minus) => (n ? `${n > 0 ? plus : minus} ${job.steps[Math.abs(n) - 1]}` : "where it is");
  const sliders = [
    ["right", "Rest, left or right", -reach.steps, reach.steps, (n) => size(n, "right", "left")],
    ["up", "Rest, down or up", -reach.steps, reach.steps, (n) => size(n, "up", "down")],
    ["nock", "Nocking point, down or up", -reach.steps, reach.steps, (n) => size(n, "up", "down")],
    ["vanes", "Vanes, lower or higher", -reach.vanes, reach.vanes, (n) => (n ? `${Math.abs(n)}0 % ${n > 0 ? "higher" : "lower"}` : "as they are")],
    ["wind", "Crosswind", -reach.wind, reach.wind, (n) => (n ? `${Math.abs(n)} ${words.speed} from the ${n > 0 ? "left" : "right"}` : "none")],
    ["distance", "Distance", reach.near, reach.far, (n) => `${n} ${words.far}`],
  ].map(([key, legend, low, high, says]) => {
    const said = el("output", {}, says(at[key]));
    return el("label", { class: "slide" }, el("span", {}, legend), said, el("input", {
      type: "range", min: low, max: high, step: 1, value: at[key], "aria-label": legend,
      oninput: (event) => { at[key] = Number(event.target.value); said.textContent = says(at[key]); want(); },
    }));
  });
  let under = false, wanted = false;
  async function want() {
    wanted = true;
    if (under) return;
    under = true;
    try {
      while (wanted) {
        wanted = false;
        const query = new URLSearchParams(Object.entries(at).map(([k, v]) => [k, String(v)]));
        show(await get(`${jobPath(job.name)}/what-if?${query}`));
      }
    } catch { lines.replaceChildren(el("p", {}, "The bench does not answer.")); }
    under = false;
  }
  function show(found) {
    if (found.problem) { lines.replaceChildren(el("p", {}, found.problem)); return; }
    const far = Math.max(...Object.values(found.spots).flat().map(Math.abs));
    const half = [2, 4, 8, 16, 32, 64, 128, 256].find((one) => one > far * 1.1) || 512;
    const ring = half / 4;
    const scale = 100 / half;
    picture.replaceChildren(
      ...[1, 2, 3, 4].flatMap((k) => [circle(0, 0, k * ring * scale, "grid"), label(3, k * ring * scale - 7, String(k * ring), "mark")]),
      line(-100, 0, 100, 0, "axis"), line(0, -100, 0, 100, "axis"),
      ...["fletched", "bare"].map((kind) => circle(found.spots[kind][0] * scale, found.spots[kind][1] * scale, 5, `arrow ${kind}`)));
    lines.replaceChildren(...found.lines.map((one) => el("p", {}, colon(capital(one)))));
  }
  want();
  return [el("div", { class: "seen" }, picture, lines), ...sliders, el("p", { class: "small" },
    "One bow like yours, without give or take: to think with, not advice. Which way it answers sideways only this bow can show.")];
}

// ---- the end

// What is handed over, and what is tapped below it.
export function ending(job, record, cancel) {
  const body = el("div", { class: "ending" }, el("p", { class: "call small-call" }, "Working it out…"),
    el("div", { class: "work", role: "progressbar", "aria-label": "Working it out" }));
  get(`${jobPath(job.name)}/end`).then((found) => {
    body.replaceChildren(...found.lines.map((one) => el("p", { class: "line" }, colon(one))));
  }, () => body.replaceChildren(el("p", {}, "The bench does not answer. Try again when it does.")));
  const sheet = (kind) => `/jobs/${encodeURIComponent(job.name)}/${kind}`;
  const print = () => {
    const made = window.open(sheet("card"));
    if (made) made.addEventListener("load", () => made.print());
  };
  const papers = el("div", { class: "papers" }, button("Print card", print),
    el("a", { class: "tap", href: sheet("card"), target: "_blank", rel: "noopener" }, "See card"),
    el("a", { class: "tap", href: sheet("report"), target: "_blank", rel: "noopener" }, "Report"));
  const acts = job.is_done ? [] : [cancel, button("Hand it over", () => record("done", {}, "handed over"), { class: "first" })];
  return { body: [body, papers], acts };
}
