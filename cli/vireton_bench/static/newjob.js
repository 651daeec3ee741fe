// A new job: whose bow, then the intake's questions one at a time.

import { button, choice, el, today } from "./dom.js";
import { input } from "./sheets.js";
import { Refused, get, post } from "./wire.js";

const AWAY = "The bench does not answer. What you typed stays here; go on once it does.";

// Draws into ``view``; ``draft`` is changed in place and kept by ``keep()``.
export async function newJob(words, draft, view, { keep, begun, still }) {
  draft.numbers ??= {};
  draft.like ??= "";
  draft.step ??= 0;
  view.replaceChildren(el("p", { class: "empty" }, "Opening…"));
  let setups = [];
  try { ({ setups } = await get("/api/setups")); } catch { /* a new bow needs none */ }
  if (!still()) return;
  if (!setups.includes(draft.like)) draft.like = "";
  const questions = words.questions;
  const problem = el("p", { class: "warn", role: "alert" });
  const told = (text) => { problem.textContent = text; };
  const missing = () => questions.filter((one) => one.needed && !draft.numbers[one.key]);

  async function begin() {
    told("");
    try {
      const { bow, owner, complaint, numbers, like } = draft;
      const given = Object.fromEntries(Object.entries({ bow, owner, complaint }).filter(([, one]) => one));
      const made = await post("/api/jobs", { ...given, numbers, like, date: today() });
      begun(made.name);
    } catch (error) {
      told(error instanceof Refused ? error.message : AWAY);
    }
  }

  // whose bow
  function first() {
    const next = button("", () => { if (draft.like) begin(); else go(1); }, { class: "first" });
    const name = () => { next.textContent = draft.like ? "Begin the job" : "Its numbers"; };
    name();
    const like = setups.length ? choice("What is known of the bow", [["", "New bow"], ["like", "Known bow"]],
      draft.like ? "like" : "", (one) => { draft.like = one ? setups[0] : ""; keep(); first(); }) : null;
    const which = draft.like ? el("label", { class: "field", for: "like" }, el("span", {}, "As in"),
      el("select", { id: "like", onchange: (event) => { draft.like = event.target.value; keep(); } },
        setups.map((one) => el("option", { value: one }, one.replaceAll("_", " "))))) : null;
    if (which) which.querySelector("select").value = draft.like;
    show([
      input("Bow", draft, "bow", keep, "Mill bow", { maxlength: "80", autocapitalize: "words" }),
      input("Owner", draft, "owner", keep, "", { maxlength: "80", autocapitalize: "words" }),
      input("Complaint", draft, "complaint", keep, "bare shafts fly left", { maxlength: "400" }),
      like, which,
      el("p", { class: "small" }, draft.like ? "Bow and arrow are taken from that setup file; the job gets its own copy."
        : `Then ${questions.length} short questions. Six of them matter; what you do not know stays open.`),
    ], el("a", { href: "#/", class: "cancel" }, "Not now"), next);
  }

  // one question
  function ask(step) {
    const one = questions[step - 1];
    const typed = { value: draft.numbers[one.key] ?? one.usual };
    const answer = one.choices.length
      ? choice(one.words, one.choices.map((each) => [each, each]), typed.value, (each) => { typed.value = each; }, { class: `choice${one.choices.length > 2 ? " tall" : ""}` })
      : input(one.words, typed, "value", () => {}, one.like, {
        class: "big", enterkeyhint: "next", onkeydown: (event) => { if (event.key === "Enter") { event.preventDefault(); take(); } },
      });
    async function take() {
      told("");
      const text = (typed.value || "").trim();
      if (!text) { leave(); return; }
      const before = Object.fromEntries(questions.slice(0, step - 1).filter((each) => draft.numbers[each.key])
        .map((each) => [each.key, draft.numbers[each.key]]));
      try {
        const found = await post("/api/intake", { key: one.key, typed: text, before });
        if (found.problem) { told(found.problem); return; }
      } catch (error) {
        told(error instanceof Refused ? error.message : AWAY);
        return;
      }
      draft.numbers[one.key] = text;
      go(step + 1);
    }
    function leave() {
      if (one.needed) { told(`Nothing runs without it. Such as ${one.like}.`); return; }
      delete draft.numbers[one.key];
      go(step + 1);
    }
    const last = step === questions.length;
    const early = step > 1 && !missing().length && !last
      ? button("The rest stays open: begin the job", begin, { class: "wide" }) : null;
    show([
      el("p", { class: "small", "aria-live": "polite" }, `Question ${step} of ${questions.length}`),
      el("h2", { class: "asked", tabindex: "-1" }, one.words), answer, problem,
      el("p", { class: "small" }, one.help),
      one.needed ? null : button("Don’t know", leave, { class: "wide" }), early,
    ], button("Back", () => go(step - 1), { class: "cancel" }), button("Next", take, { class: "first" }));
    (view.querySelector("input.big") || view.querySelector(".asked")).focus({ preventScroll: true });
  }

  function review() {
    const known = questions.filter((one) => draft.numbers[one.key]);
    const open = questions.filter((one) => !draft.numbers[one.key]);
    show([
      el("h2", { class: "asked", tabindex: "-1" }, "Is that the bow?"),
      el("ul", { class: "rounds" }, known.map((one) => el("li", {}, `${one.words}: ${draft.numbers[one.key]}`))),
      open.length ? el("p", { class: "small" }, `Left open: ${open.map((one) => one.words.toLowerCase()).join(", ")}.`) : null,
    ], button("Back", () => go(questions.length), { class: "cancel" }), button("Begin the job", begin, { class: "first" }));
  }

  function show(inside, ...acts) {
    const body = inside.includes(problem) ? inside : [problem, ...inside];
    view.replaceChildren(el("div", { class: "pane new" }, body), el("div", { class: "send" }, ...acts));
  }

  function go(step) {
    told("");
    draft.step = step;
    keep();
    if (step < 1) first();
    else if (step > questions.length) review();
    else ask(step);
  }
  go(Math.min(draft.step, questions.length + 1));
}
