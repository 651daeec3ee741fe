// Which screen is shown, and what happens when an entry is in.

import { ask, asking, button, byId, capital, el, say, today } from "./dom.js";
import { ending, history, jobScreen, whatif } from "./job.js";
import { film } from "./film.js";
import { newJob } from "./newjob.js";
import { SHEETS as TAPPED } from "./sheets.js";
import {
  Refused, Unpaired, drop, flush, get, jobPath, keep, link, listen, newId, nudge, rewrite, waiting,
} from "./wire.js";

const SHEETS = { ...TAPPED, film };
const POLL = 4000;
let words = null;
let job = null;
let list = [];
let state = { warm: true, doing: "" };
let shown = ""; // the screen that stands there

// ---- what this phone remembers for itself

const kept = (key, usual) => { try { return localStorage.getItem(`vireton ${key}`) ?? usual; } catch { return usual; } };
const keepSetting = (key, value) => { try { localStorage.setItem(`vireton ${key}`, value); } catch { /* full */ } };
function dress() {
  document.documentElement.dataset.hand = kept("hand", "right");
  document.documentElement.dataset.light = kept("light", "auto");
}
const draftKey = (name, sheet) => `draft ${name} ${sheet}`;
function readDraft(name, sheet) {
  try { return JSON.parse(kept(draftKey(name, sheet), "{}")); } catch { return {}; }
}
const dropDraft = (name, sheet) => localStorage.removeItem(`vireton ${draftKey(name, sheet)}`);

// ---- where we are

function where() {
  const [path, query] = location.hash.replace(/^#\/?/, "").split("?");
  const [kind, name, sheet] = path.split("/").map(decodeURIComponent);
  return { kind: kind || "bows", name: name || "", sheet: sheet || "", query: query || "" };
}
const go = {
  to: (sheet, query) => `#/job/${encodeURIComponent(job.name)}/${sheet}${query ? `?${query}` : ""}`,
  home: () => { location.hash = `#/job/${encodeURIComponent(job.name)}`; },
  away: () => link.away,
  doing: () => (state.warm ? "" : state.doing),
  correct: (sheet, draft) => {
    keepSetting(draftKey(job.name, sheet), JSON.stringify(draft));
    location.hash = go.to(sheet, "correct");
  },
};

async function record(kind, typed, said, round, extra = {}) {
  const entry = {
    job: job.name, said, sheet: extra.sheet || "", draft: extra.draft || null,
    body: { id: newId(), do: kind, date: today(), typed, ...(round ? { round } : {}), ...(extra.body || {}) },
  };
  try {
    keep(entry);
  } catch {
    ask("This phone is full", [el("p", {}, "It cannot keep the entry until it is sent. Free some space, then record it again; the sheet keeps what you tapped.")], [["Back", () => {}, ""]]);
    return;
  }
  if (extra.sheet) dropDraft(job.name, extra.sheet);
  job.advice = null;
  go.home();
  show();
  flush();
}

// ---- screens

const view = () => byId("view");
function frame(title, back, { focus = true } = {}) {
  byId("title").textContent = title;
  document.title = title;
  const to = byId("back");
  to.hidden = back === null;
  if (back !== null) to.href = back;
  if (focus) byId("title").focus({ preventScroll: true });
}

async function show() {
  const at = where();
  const key = location.hash;
  const fresh = key !== shown;
  shown = key;
  if (fresh) say("");
  if (at.kind === "job") {
    if (!job || job.name !== at.name) {
      job = { name: at.name, bow: at.name, steps: [] };
      view().replaceChildren(el("p", { class: "empty" }, "Opening…"));
      await load();
      if (location.hash !== key) return;
    }
    jobView(at, fresh);
  } else if (at.kind === "new") newView(fresh);
  else bowsView(fresh);
  bar();
}

// All of the answer is in sight; where letters that can be read at a meter are too large, smaller.
function fit(answer) {
  for (const look of ["tight", "tighter"]) if (answer.scrollHeight > answer.clientHeight) answer.classList.add(look);
  if (answer.scrollHeight > answer.clientHeight) answer.tabIndex = 0; // the keyboard reaches the rest
}

function jobView(at, fresh) {
  const home = `#/job/${encodeURIComponent(job.name)}`;
  const title = [job.bow, job.owner].filter(Boolean).join(" · ");
  if (!at.sheet) {
    frame(title, "#/", { focus: fresh });
    view().className = "home";
    view().replaceChildren(jobScreen(job, go, record));
    const answer = view().querySelector(".answer");
    fit(answer);
    new ResizeObserver(() => fit(answer)).observe(answer); // what was recorded is told above it
    return;
  }
  if (!fresh) { // a sheet that somebody is at is left alone
    if (at.sheet === "history") historyView(home, title);
    return;
  }
  view().className = "sheet";
  if (at.sheet === "history") historyView(home, title);
  else if (at.sheet === "whatif") plainView("What if", home, whatif(job, words), "full");
  else if (at.sheet === "done") {
    const made = ending(job, record, el("a", { href: home, class: "cancel" }, "Not now"));
    plainView("Hand it over", home, made.body);
    if (made.acts.length) view().append(el("div", { class: "send" }, made.acts));
  }
  else if (at.sheet === "more") plainView("More", home, moreList());
  else if (at.sheet in SHEETS) sheetView(at, home);
  else location.hash = home;
}

function historyView(home, title) {
  plainView(`History · ${title}`, home, history(job, words, go, record));
}

function plainView(title, back, inside, look = "") {
  frame(title, back);
  view().replaceChildren(el("div", { class: `plain ${look}` }, inside));
}

function sheetView(at, home) {
  const draft = readDraft(job.name, at.sheet);
  if (at.query === "advised") draft.advised = true;
  else delete draft.advised;
  if (at.query !== "correct" && draft.correct) for (const key of Object.keys(draft)) delete draft[key];
  if (["above", "beside"].includes(at.query)) draft.view = at.query;
  const send = button("Record", () => {
    const made = sheet.entry();
    if (!made) return;
    const extra = { sheet: at.sheet, draft, body: made.complaint ? { complaint: made.complaint } : {} };
    if (draft.correct) record("correct", made.typed, `round ${draft.correct} corrected: ${made.said}`, draft.correct, extra);
    else record(made.do || "add", made.typed, made.said, undefined, extra);
  }, { class: "first" });
  const told = () => {
    send.disabled = !sheet.entry();
    keepSetting(draftKey(job.name, at.sheet), JSON.stringify(draft));
  };
  const sheet = SHEETS[at.sheet](words, job, draft, () => told());
  send.textContent = draft.correct ? `Correct round ${draft.correct}` : sheet.action || "Record";
  send.disabled = !sheet.entry();
  frame(draft.correct ? `${sheet.title}, round ${draft.correct}` : sheet.title, home);
  const cancel = el("a", { href: home, class: "cancel", onclick: () => { if (draft.correct) dropDraft(job.name, at.sheet); } }, "Not now");
  view().replaceChildren(el("div", { class: `pane ${at.sheet}` }, sheet.body), el("div", { class: "send" }, cancel, send));
}

function moreList() {
  const row = (sheet, title, told) => el("a", { href: go.to(sheet), class: "kind" }, el("strong", {}, title), el("span", {}, told));
  const flip = (key, values, says) => {
    const made = button([el("strong", {}, says(kept(key, values[0]))[0]), el("span", {}, says(kept(key, values[0]))[1])], () => {
      keepSetting(key, values[(values.indexOf(kept(key, values[0])) + 1) % values.length]);
      dress();
      made.replaceWith(flip(key, values, says));
    }, { class: "kind" });
    return made;
  };
  return [el("div", { class: "kinds" },
    row("whatif", "What if", "Slide the rest, the wind, the distance"),
    row("film", "Film", "Nock and point in a clip of the first ten feet"),
    row("measured", "Measured", "The bow as it is now"),
    row("lookover", "Looked over", "Limbs, strings, arrows"),
    row("note", "Note", "Anything else"),
    row("visit", "Came back", "A new visit of this bow"),
    flip("hand", ["right", "left"], (one) => [`For the ${one} hand`, "Turn the buttons round"]),
    flip("light", ["auto", "light", "dark"], (one) => [`Light: ${one}`, "As the phone, light or dark"])),
  el("p", { class: "small" }, words.caution),
  byId("plain-http").content.cloneNode(true)];
}

// ---- bows

let sought = "";
function bowsView(fresh) {
  frame("Bows", null, { focus: fresh });
  if (!fresh && view().querySelector("#search")) { rows(); return; }
  view().className = "list";
  view().replaceChildren(
    el("div", { class: "search" }, el("label", { for: "search", class: "unseen" }, "Search"),
      el("input", { id: "search", type: "search", value: sought, placeholder: "Search bow, owner, complaint", autocomplete: "off",
        oninput: (event) => { sought = event.target.value; rows(); } })),
    el("div", { id: "rows" }),
    el("div", { class: "send" }, el("a", { href: "#/new", class: "first" }, "New job")));
  rows();
  if (fresh) loadList();
}

function rows() {
  const box = byId("rows");
  if (!box) return;
  const asked = sought.toLowerCase().split(/\s+/).filter(Boolean);
  const fits = list.filter((one) => {
    const text = `${one.bow} ${one.owner} ${one.complaint} ${one.name} ${one.last_date}`.toLowerCase();
    return asked.every((word) => text.includes(word));
  }).slice(0, 200);
  const group = (title, some) => (some.length ? [el("h2", {}, title), el("ul", { class: "bows" }, some.map(rowOf))] : []);
  box.replaceChildren(
    ...(state.warm ? [] : [el("p", { class: "warming", role: "status" }, `${state.doing}. You can record meanwhile.`)]),
    ...group("Open", fits.filter((one) => one.is_open)), ...group("Handed over", fits.filter((one) => !one.is_open)),
    ...(fits.length ? [] : [el("p", { class: "empty" }, link.away ? "The bench does not answer." : sought ? "No bow fits." : "No job yet. New job begins one.")]),
    byId("plain-http").content.cloneNode(true));
}

function rowOf(one) {
  const rounds = one.rounds === 1 ? "1 round" : `${one.rounds} rounds`;
  const wait = waiting(one.name).length;
  return el("li", {}, el("a", { href: `#/job/${encodeURIComponent(one.name)}`, class: "kind" },
    el("strong", {}, [one.bow, one.owner].filter(Boolean).join(" · ")),
    el("span", {}, one.problem ? "cannot be read" : [one.complaint, rounds, one.last_date].filter(Boolean).join(" · ")),
    wait ? el("span", { class: "tag" }, `${wait} waiting`) : null));
}

function newView(fresh) {
  frame("New job", "#/", { focus: fresh });
  if (!fresh) return;
  view().className = "sheet";
  const draft = readDraft("", "new");
  newJob(words, draft, view(), {
    keep: () => keepSetting(draftKey("", "new"), JSON.stringify(draft)),
    begun: (name) => { dropDraft("", "new"); location.hash = `#/job/${encodeURIComponent(name)}`; },
    still: () => where().kind === "new",
  });
}

// ---- what comes from the bench

async function load() {
  const name = job.name;
  try {
    const found = await get(jobPath(name));
    if (!job || job.name !== name) return;
    Object.assign(job, found);
    state = found.state || state;
    link.away = link.unpaired = false;
    advise();
  } catch (error) { missed(error); }
}

async function advise() {
  const { name } = job;
  if (job.problem) return;
  try {
    const found = await get(`${jobPath(name)}/advice`);
    if (job.name !== name || job.version !== found.version) return;
    job.advice = found.advice;
    state = { warm: true, doing: "" };
    show();
  } catch (error) { missed(error); }
}

async function loadList() {
  try {
    const found = await get("/api/jobs");
    list = found.jobs;
    state = found.state;
    link.away = link.unpaired = false;
  } catch (error) { missed(error); }
  if (where().kind === "bows") rows();
  bar();
}

function missed(error) {
  if (error instanceof Refused) { job = job && { ...job, problem: error.message }; return; }
  link.unpaired = error instanceof Unpaired;
  link.away = !link.unpaired;
  bar();
}

async function poll() {
  if (!document.hidden) {
    const at = where();
    try {
      if (at.kind === "bows") await loadList();
      else if (at.kind === "job" && job && !waiting(job.name).length) {
        const was = job.version;
        const found = await get(`${jobPath(job.name)}?have=${encodeURIComponent(was || "")}`);
        const wasAway = link.away;
        link.away = link.unpaired = false;
        if (!found.same && job.name === at.name) {
          Object.assign(job, found, { advice: null });
          state = found.state || state;
          show();
          await advise();
        } else if (!job.advice) await advise();
        else if (wasAway) show();
      }
      if (waiting().length) nudge();
    } catch (error) { missed(error); }
    bar();
  }
  setTimeout(poll, state.warm ? POLL : 1000);
}

// ---- entries on their way

function bar() {
  const all = waiting();
  const tag = byId("waiting");
  const asked = all.filter((one) => one.state).length;
  tag.hidden = !(all.length || link.away || link.unpaired);
  tag.className = link.unpaired || asked ? "alarm" : "";
  tag.textContent = link.unpaired ? "Not paired" : asked ? `${asked} to answer`
    : all.length ? `${all.length} waiting` : "Out of reach";
}

function waitingList() {
  const all = waiting();
  const held = all.find((one) => one.state);
  if (held) { question(held); return; }
  ask(link.unpaired ? "This phone is not paired" : "Waiting on this phone",
    [el("p", {}, link.unpaired ? "Scan the code at the bench again. What waits here goes in after that."
      : all.length ? "They go in by themselves, in order, once the bench answers." : "The bench does not answer. Go on recording: entries are kept here."),
    el("ul", {}, all.map((one) => el("li", {}, `${one.job}: ${one.said}`)))],
    [["Try now", () => nudge(), "first"], ["Good", () => {}, ""]]);
}

// A question before an entry is taken, or why it was not.
function question(entry) {
  const change = ["Neither: let me change it", () => again(entry), ""];
  if (entry.state === "asks") {
    const { question: asked, field, readings } = entry.told;
    ask(asked, [el("p", { class: "small" }, `${entry.job}: nothing was recorded yet.`)], [
      ...readings.map(([key, said]) => [capital(said), () => {
        const { state: _, told: __, ...rest } = entry;
        rewrite({ ...rest, body: { ...entry.body, [field]: key } });
        flush();
        show();
      }, "first"]), change]);
    return;
  }
  ask("Not taken", [el("p", { class: "warn" }, entry.told), el("p", { class: "small" }, `${entry.job}: ${entry.said}`)], [
    ["Let me change it", () => again(entry), "first"],
    ["Throw this entry away", () => { drop(entry); after(entry.job); }, "warn"],
    ["Later", () => {}, ""]]);
}

function again(entry) {
  if (entry.sheet && entry.draft) keepSetting(draftKey(entry.job, entry.sheet), JSON.stringify(entry.draft));
  drop(entry);
  location.hash = `#/job/${encodeURIComponent(entry.job)}${entry.sheet ? `/${entry.sheet}${entry.draft?.correct ? "?correct" : ""}` : ""}`;
  after(entry.job);
}

// the old advice holds again where nothing is under way any more
function after(name) {
  if (job && job.name === name && !waiting(name).length) load().then(show);
  flush();
  show();
}

listen((what, entry, result) => {
  if (what === "taken") {
    if (job && job.name === entry.job) {
      const { taken, ...rest } = result;
      if (rest.version && !waiting(job.name).length) Object.assign(job, rest);
      if (!where().sheet || where().sheet === "history") show();
      const { do: done, round } = entry.body;
      say(taken.warnings[0] || (done === "correct" ? `Round ${round} is corrected`
        : done === "undo" ? `Round ${round} is taken back` : `Recorded as round ${taken.round}`));
    }
  } else if ((what === "asks" || what === "refused") && !asking()) {
    question(waiting(entry.job).find((one) => one.body.id === entry.body.id) || entry);
    if (!where().sheet) show();
  } else if (what === "away" && where().kind === "job" && !where().sheet) show();
  bar();
});

// ---- begin

async function begin() {
  dress();
  byId("waiting").addEventListener("click", waitingList);
  addEventListener("hashchange", show);
  for (;;) {
    try { words = await get("/api/words"); break; } catch (error) {
      missed(error);
      view().replaceChildren(el("p", { class: "empty" }, link.unpaired ? "This phone is not paired." : "The bench does not answer yet…"));
      await new Promise((go_) => setTimeout(go_, 1500));
    }
  }
  await show();
  flush();
  setTimeout(poll, 1000);
}
begin();
