"""What was measured and done on one visit of a bow, in the words of its card."""

from dataclasses import dataclass

from vireton.bow.setting import AT_START
from vireton.job import TuningLog
from vireton.job.intake import MEASURES
from vireton.job.visits import Visit, is_same, rounds_of
from vireton.tuning.changes import Change
from vireton.tuning.observations import Observation
from vireton.tuning.observations.found import Found
from vireton.units.move_names import MOVE_SIDES, sides
from vireton.units.spelling import tidy
from vireton.units.text import UnitSystem, capital

#: After these a bow settles over some hundred shots (common practice, no source).
_SETTLES = {"new string": "string", "new cable": "cable"}
#: These move what was measured before (common practice, no source).
_MOVES_MEASURES = frozenset(
    {"cable", "yoke", "draw weight", "draw length", "new string", "new cable", "other"}
)


@dataclass(frozen=True)
class Measured:
    """A measure as the bow came and as it leaves, as it was typed; empty where it was not taken.

    ``is_changed``: it is another one. ``is_old``: it was taken before a change that may move it.
    """

    name: str
    received: str
    left: str
    is_changed: bool
    is_old: bool = False


def measured_rows(log: TuningLog, visit: Visit) -> tuple[Measured, ...]:
    """As received and as left, in the order of the sheet; nothing that was not measured.

    A measure that was taken before anything was touched is as received, a later one as left.
    """
    papers = dict(zip((r.number for r in log.rounds.all), log.paperwork, strict=False))
    setting = log.rounds.all[visit.first - 1].setting if visit.first else AT_START
    received: dict[str, str] = {}
    left: dict[str, str] = {}
    old: set[str] = set()
    is_touched = False
    for one in rounds_of(log, visit):
        is_touched |= bool(one.changes) or one.setting != setting
        setting = one.setting
        if any(change.what in _MOVES_MEASURES for change in one.changes):
            old |= left.keys()
        for key, text in papers[one.number].measures.items():
            if not is_touched and one.stage != "done" and key not in received:
                received[key] = text
            else:
                left[key] = text
                old.discard(key)
    return tuple(
        Measured(
            MEASURES[key].words,
            received.get(key, ""),
            left.get(key, ""),
            key in received and key in left and not is_same(key, received[key], left[key]),
            key in old,
        )
        for key in MEASURES
        if key in received or key in left
    )


def done_lines(log: TuningLog, visit: Visit, units: UnitSystem) -> tuple[str, ...]:
    """The rest's and the nocking point's move in all, then changes and findings in their order."""
    lines = _moved(log, visit, units)
    for one in rounds_of(log, visit):
        what = [_change_words(change, units) for change in one.changes]
        if one.puts_back is not None and what:
            lines.append(f"Put back: {'; '.join(what)}")
        else:
            lines += map(capital, what)
        lines += [said for seen in one.observations if (said := _found_words(seen))]
    return tuple(lines)


def _moved(log: TuningLog, visit: Visit, units: UnitSystem) -> list[str]:
    """In all; that it stands again where it was, where it was moved there and back."""
    before = log.rounds.all[visit.first - 1].setting if visit.first else AT_START
    rounds = rounds_of(log, visit)
    if not rounds:
        return []
    move = before.move_to(rounds[-1].setting)
    lines = []
    for name, pair, there in (
        ("rest", move.rest, [one.setting.rest for one in rounds]),
        (
            "nocking point",
            (0.0, move.nock_height),
            [(0.0, one.setting.nock_height) for one in rounds],
        ),
    ):
        said = sides((tidy(pair[0]), tidy(pair[1])), MOVE_SIDES, units)
        was = before.rest if name == "rest" else (0.0, before.nock_height)
        if said:
            lines.append(f"In all the {name} moved {' and '.join(said)}")
        elif any(one != was for one in there):
            lines.append(f"The {name} was tried elsewhere and stands where it was")
    return lines


def _change_words(change: Change, units: UnitSystem) -> str:
    """A change without the keys of a setup file."""
    said = change.words(units)
    for key, text in change.sets:
        spoken = key.partition(".")[2].replace(".", " ").replace("_", " ")
        said = said.replace(f"{key} {text}", f"{spoken or key} {text}", 1)
    return said


def _found_words(seen: Observation) -> str:
    """What was found; empty for what was shot."""
    if not isinstance(seen, Found):
        return ""
    more = ", ".join(one for one in (seen.arrow or "", seen.where, seen.how) if one)
    return f"Found: {seen.what}{f' ({more})' if more else ''}"


def again_words(log: TuningLog, visit: Visit) -> str:
    """When to look at the bow again (common practice, no source)."""
    fresh = [
        name
        for what, name in _SETTLES.items()
        if any(change.what == what for one in rounds_of(log, visit) for change in one.changes)
    ]
    if fresh:
        return (
            f"Come back after some hundred shots: the fresh {' and '.join(fresh)} will have "
            "settled by then."
        )
    return "Come back in a year, or when anything on the bow or the arrows is changed."
