"""What a lane does: takes an entry into its job, and says what the job then says.

What was tapped in are the options of ``vireton record``, in its own words, and goes its own way:
:mod:`vireton_cli.recording` reads it, :mod:`vireton.answers.doubts` asks, :mod:`vireton.job` keeps.
"""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from vireton.units.problems import InputProblem
from vireton_bench.entry import Entry, Marked, film_of
from vireton_bench.shop import without_folder
from vireton_bench.view import history_of, seen_by_tuner, view_of

if TYPE_CHECKING:
    from vireton.job import NewRound
    from vireton.units.text import UnitSystem

_views: dict[tuple[Path, str, str], dict[str, Any]] = {}
_MOST_VIEWS = 64


def take(path: Path, entry: Entry, units: "UnitSystem") -> dict[str, Any]:
    """Record an entry once, however often it is sent.

    Returns one of: ``taken`` with the round; ``asks``, a question with its readings, where nothing
    was recorded yet; ``refused`` with the reason.
    """
    from vireton.job import read_log, recorded_as
    from vireton.job.round_words import round_lines, two_things

    try:
        before = read_log(path)
        done = recorded_as(before, entry.id)
        if done is None:
            asked = _recorded(path, entry, units)
            if asked is not None:
                return {"asks": asked}
        log = read_log(path)
        done = recorded_as(log, entry.id)
        assert done is not None
    except InputProblem as problem:
        return {"refused": without_folder(problem, path.parent)}
    said = round_lines(log, done, units)
    return {"taken": {"round": done.number, "said": said, "warnings": two_things(log, done)}}


def _recorded(path: Path, entry: Entry, units: "UnitSystem") -> dict[str, Any] | None:
    """Record it; or the question that has to be answered first."""
    from vireton.job import append_round, correct, put_back, read_log, withdraw_last
    from vireton_cli.filming import check_against_bow
    from vireton_cli.options import UnitChoice
    from vireton_cli.recording import counted, kept_axes, new_round

    date, number = entry.date, entry.round
    if entry.do == "undo":
        counting = read_log(path).rounds.counting
        if number is not None and (not counting or counting[-1].number != number):
            raise InputProblem(f"round {number} is no longer the last: somebody recorded since")
        withdraw_last(path, date, units, entry.id)
        return None
    typed, films = counted(entry.as_typed(), path), entry.films
    new = replace(new_round(typed, UnitChoice(units)), date=date, entry=entry.id)
    new = replace(new, observations=(*new.observations, *films))
    check_against_bow(path, None, new)
    is_empty = typed.is_empty() and not films
    if entry.do == "correct":
        if number is None or is_empty:
            raise InputProblem("say which round, and what it should have been")
        correct(path, number, kept_axes(read_log(path), number, typed, new), units)
    elif entry.do == "back":
        put_back(path, new, units)
    else:
        stage = None if entry.do == "add" else entry.do
        new = replace(new, stage=stage, complaint=entry.complaint if stage == "visit" else "")
        if is_empty and stage is None and not entry.edited:
            raise InputProblem("nothing to record")
        settled = _settled(path, entry, new, units)
        if isinstance(settled, dict):
            return settled
        append_round(path, settled, units)
    return None


def _settled(
    path: Path, entry: Entry, new: "NewRound", units: "UnitSystem"
) -> "NewRound | dict[str, Any]":
    """The round as it is to be recorded; or what has to be asked."""
    from vireton.answers.doubts import doubt_of
    from vireton.job import read_log
    from vireton.job.edits import edit_of, with_edit
    from vireton.units.display import display

    edit = edit_of(path)
    if edit is not None:
        if edit.of_bow and not entry.edited:
            return {
                "question": f"The setup file was edited since the last round: {edit.words}.",
                "field": "edited",
                "readings": [
                    ["changed", "the bow was changed: earlier rounds keep their numbers"],
                    ["wrong", "the number was wrong: all rounds are read with the new one"],
                ],
            }
        new, _ = with_edit(new, edit, "changed" if entry.edited == "changed" else "corrected")
    if entry.reading == "typed":
        return new
    doubt = doubt_of(read_log(path), new, display(units))
    if doubt is None:
        return new
    if entry.reading == "meant" and doubt.other is not None:
        return doubt.other
    readings = [["typed", doubt.as_typed]]
    if doubt.other is not None:
        readings.append(["meant", doubt.meant])
    return {"question": doubt.question, "field": "reading", "readings": readings}


def read_marked(path: Path, marked: Marked) -> dict[str, Any]:
    """What a film says before it is recorded: ``said``, its ``warnings``; or ``refused``."""
    from vireton.answers.filmed import reading_words
    from vireton.answers.tune import Tune
    from vireton.job import read_log

    try:
        film = film_of(marked)
        reading = film.reading(Tune.read({"log": read_log(path)}).rig)
    except InputProblem as problem:
        return {"refused": without_folder(problem, path.parent)}
    return {"said": reading_words(film, reading)[0], "warnings": list(reading.warnings)}


def look(path: Path, units: "UnitSystem") -> dict[str, Any]:
    """A job without its advice: at once."""
    from vireton.job import read_log

    try:
        log = read_log(path)
        return {"rounds": history_of(log, units), **seen_by_tuner(log, units)}
    except InputProblem as problem:
        return {"problem": without_folder(problem, path.parent)}


def advise(path: Path, version: str, units: "UnitSystem") -> dict[str, Any]:
    """What to do next. ``version`` of the file: asked twice it is worked out once."""
    from vireton.job import read_log

    key = path, version, units
    if key not in _views:
        try:
            found = view_of(read_log(path), units)
        except InputProblem as problem:
            found = {"no_advice": without_folder(problem, path.parent)}
        _views[key] = found
        while len(_views) > _MOST_VIEWS:
            del _views[next(iter(_views))]
    return _views[key]


def end(path: Path, units: "UnitSystem") -> dict[str, Any]:
    """What is handed over: the sight reset, what is left, marks; and what moved since."""
    from vireton.answers.hand_over import hand_over, hand_over_words
    from vireton.job import read_log
    from vireton.job.visits import moved_lines
    from vireton.units.display import display

    try:
        log = read_log(path)
        shown = display(units)
        lines = hand_over_words(hand_over(log, shown), shown)
        return {"lines": lines, "moved": moved_lines(log)}
    except InputProblem as problem:
        return {"lines": [f"No summary: {without_folder(problem, path.parent)}"], "moved": []}


def warm(path: Path | None, units: "UnitSystem") -> bool:
    """Compile what has to be, and fly this job, or the usual bow where there is none."""
    from vireton.answers.rest import MoveRest

    if path is not None:
        try:
            from vireton.job import read_log

            view_of(read_log(path), units)
        except InputProblem:
            return False
        return True
    from vireton.answers.shot import load

    MoveRest.read({"setup": load(None), "up": "1/32 in", "distances": "20 yd", "draws": 8}).answer()
    return True
