"""What a phone is shown of a job: the words are the library's, said here by key."""

from typing import TYPE_CHECKING, Any

from vireton.units.numbers import INCH

if TYPE_CHECKING:
    from vireton.bow.setting import BowSetting
    from vireton.job import TuningLog
    from vireton.tuning.advice import Advice
    from vireton.tuning.changes import Change
    from vireton.tuning.observations import Observation
    from vireton.units.text import UnitSystem

#: Steps of the rest that a move may have.
_MOST_STEPS = 32


def seen_by_tuner(log: "TuningLog", units: "UnitSystem") -> dict[str, Any]:
    """Whose bow, how it stands, and the steps that its rest moves in."""
    from vireton.job import setup_of
    from vireton.job.visits import moved_lines, visits_of
    from vireton.units.move_names import MOVE_SIDES, sides
    from vireton.units.problems import InputProblem
    from vireton.units.spelling import spelled, tidy

    try:
        setup = setup_of(log)
        step, bow = setup.rest_step, setup.bow.name or ""
        distance = setup.sight.sight_in or 0.0
    except InputProblem:
        step, bow, distance = INCH / 32.0, "", 0.0
    visits = visits_of(log)
    return {
        "bow": log.intake.bow or log.name or bow or log.path.stem,
        "setup_bow": bow,
        "owner": log.intake.owner,
        "complaint": visits[-1].complaint if visits else "",
        "is_done": log.is_done,
        "stands": ", ".join(sides(log.setting.rest, MOVE_SIDES, units)),
        "steps": [spelled(tidy(k * step), "bench", units) for k in range(1, _MOST_STEPS + 1)],
        "sight_in": spelled(distance, "distance", units) if distance else "",
        "moved": moved_lines(log) if len(visits) > 1 else [],
        "can_put_back": _last_change(log),
    }


def _last_change(log: "TuningLog") -> int | None:
    """The round whose change would be put back."""
    from vireton.job import LogError
    from vireton.job.amend import last_change

    try:
        last, _ = last_change(log, log.path)
    except LogError:
        return None
    return last.number if all(one.kind.is_undone for one in last.changes) else None


def history_of(log: "TuningLog", units: "UnitSystem") -> list[dict[str, Any]]:
    """Every round, the last first, with what a correction of it begins from."""
    from vireton.job.round_words import round_json, round_lines

    counting = [one.number for one in log.rounds.counting]
    corrected = {one.corrects for one in log.rounds.all}
    dates = {one.number: day for one, day in zip(log.rounds.all, log.dates, strict=True)}
    found = []
    for one in reversed(log.rounds.all):
        if one.corrects is not None:
            said = [f"Round {one.number} corrects what was typed in round {one.corrects}"]
        else:
            said = round_lines(log, one, units, standing=one.number in counting[-1:])
        was = one.was
        typed: list[Change | Observation] = [*was.changes, *was.observations] if was else []
        found.append(
            {
                "number": one.number,
                "date": dates[one.number],
                "counts": one.number in counting,
                "corrected": one.number in corrected,
                "was": [entry.words(units) for entry in typed],
                "said": said,
                "stage": one.stage,
                "told": round_json(log, one),
            }
        )
    return found


#: Of a bow whose look-over was not passed, in place of the advice: the warnings say what it was.
_NOT_TO_BE_SHOT: dict[str, Any] = {
    **{"verdict": "cure", "call": "Do not shoot this bow", "move": None, "looked": "", "cured": ""},
    **{"why": "until that is put right and looked over again", "more": [], "is_new": False},
}


def view_of(log: "TuningLog", units: "UnitSystem") -> dict[str, Any]:
    """The advice: what to do with its chance, what the last arrow said, what to look for."""
    from vireton.answers import filmed, recorded_words, tune_words
    from vireton.answers.tune import tune_log
    from vireton.bow.cautions import SHOOTING_BARE
    from vireton.job.visits import unsafe_now
    from vireton.units.display import display

    shown = display(units)
    tuned = tune_log(log)
    call, why = tune_words.verdict_words(tuned, shown)
    happened = tuned.happened
    advice = tuned.advice
    looked, cured = tune_words.asked_for(tuned)
    return {
        "verdict": advice.verdict,
        "call": call,
        "why": why,
        "happened": tune_words.happened_words(tuned, shown) if happened else "",
        "went": happened.verdict if happened else "",
        "more": [
            *_how(advice),
            *tune_words.expectation_words(tuned, shown),
            *(recorded_words.several_words(tuned, shown) if log.rounds.counting else []),
            *recorded_words.broadhead_words(tuned, shown),
            *recorded_words.walkback_words(tuned, shown),
            *filmed.film_words(tuned),
        ],
        "move": _move(advice.move, units) if advice.verdict == "move" else None,
        "test": {"kind": advice.test.kind, "count": advice.test.count},
        "looked": looked,
        "cured": cured,
        "warnings": list(tuned.question.warnings),
        "caution": SHOOTING_BARE,
        "is_new": log.is_new,
    } | (_NOT_TO_BE_SHOT if unsafe_now(log) else {})


def _how(advice: "Advice") -> tuple[str, ...]:
    """How a measurement that is advised is done, and what it is written as."""
    if advice.bench is None:
        return ()
    from vireton.uncertain.measurements import measurement

    row = measurement(advice.bench.key)
    return *row.how, f"In the setup file: {'; '.join(row.typed)}"


def _move(move: "BowSetting", units: "UnitSystem") -> dict[str, str]:
    """The advised move as ``record`` takes it."""
    from vireton.units.move_names import MOVE_SIDES, sides

    return {
        "rest": ", ".join(sides(move.rest, MOVE_SIDES, units)),
        "nock": ", ".join(sides((0.0, move.nock_height), MOVE_SIDES, units)),
    }
