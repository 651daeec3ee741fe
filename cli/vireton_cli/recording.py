"""From the options of ``vireton record`` as typed to a round of the library."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from typer.core import TyperCommand

from vireton.units.problems import InputProblem
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.job import NewRound, TuningLog
    from vireton.tuning.changes import Change
    from vireton.tuning.observations import Group, Observation

#: Options that take several values, and what each is called.
_VALUES = {
    "--tear": ("ARROW", "TEAR"),
    "--group": ("ARROW", "DISTANCE", "SHOTS"),
    "--center": ("ARROW", "DISTANCE", "PLACE"),
    "--film": ("ARROW", "VIEW", "FILE"),
}
#: As 0.1.0 spelled it, and short for what is typed with cold hands.
_OLDER = {"--centre": "--center", "-t": "--tear", "-g": "--group"}
_SEPARATOR = "\x1f"


class Repeatable(TyperCommand):
    """A command whose options of several values may each be given more than once.

    typer can do the one or the other: the values of one option are joined before it looks at them.
    """

    def parse_args(self, ctx: Any, args: list[str]) -> list[str]:
        """Join, then parse as usual."""
        return super().parse_args(ctx, _joined(args))


def _joined(args: list[str]) -> list[str]:
    joined: list[str] = []
    left = list(args)
    while left:
        argument = left.pop(0)
        argument = _OLDER.get(argument, argument)
        joined.append(argument)
        if argument == "--":
            return joined + left
        if argument in _VALUES:
            count = len(_VALUES[argument])
            values, left = left[:count], left[count:]
            if any(value.startswith("--") for value in values):
                raise _too_few(argument)
            joined.append(_SEPARATOR.join(values))
    return joined


def joined(*values: str) -> str:
    """The values of one option, as a field of :class:`Typed` holds them."""
    return _SEPARATOR.join(values)


def _too_few(option: str) -> InputProblem:
    names = _VALUES[option]
    return InputProblem(
        f"{option} takes {len(names)} values: {option} {' '.join(names)}; put each in quotes"
    )


def _split(text: str, option: str) -> list[str]:
    values = text.split(_SEPARATOR)
    if len(values) != len(_VALUES[option]):
        raise _too_few(option)
    return values


def _typed(flags: str, metavar: str, help_: str, *, many: bool = False) -> Any:
    """A field of :class:`Typed`: the option that it is typed as."""
    told = {"flags": tuple(flags.split()), "metavar": metavar, "help": help_}
    return field(default=() if many else None, metadata=told)


@dataclass(frozen=True)
class Typed:
    """What was typed, apart from the names of the files: a field an option."""

    rest: str | None = _typed(
        "--rest -r", "MOVE", "The rest was moved: 'right 1/32 in', 'left 2 clicks, up 1/32 in'."
    )
    rest_at: str | None = _typed(
        "--rest-at", "PLACE", "Instead: where it now stands, from the job's start."
    )
    nock: str | None = _typed("--nock", "MOVE", "The nocking point was moved: 'up 1/32 in'.")
    changed: Sequence[str] = _typed(
        "--changed -c",
        "WHAT",
        "Anything else was changed: 'cam spacer right 1/32 in', 'draw weight 1 turn out, 58 lb', "
        "'new string'. May be repeated, as --found, --tear, --group, --center and "
        "--film may.",
        many=True,
    )
    tear: Sequence[str] = _typed(
        "--tear",
        "ARROW TEAR",
        "Where the tail hole is: bare 'left 1/16 in, high 1/8 in', bare clean. Short: -t.",
        many=True,
    )
    at: str | None = _typed("--at", "DISTANCE", "Distance of the paper; without it 6 ft.")
    group: Sequence[str] = _typed(
        "--group",
        "ARROW DISTANCE SHOTS",
        "Every shot, right,up of where you aimed: fletched 20yd '0.2,0.1 -0.3,0.4 in'; bare, "
        "fletched or broadhead. Short: -g.",
        many=True,
    )
    center: Sequence[str] = _typed(
        "--center",
        "ARROW DISTANCE PLACE",
        "Only the middle of a group: bare 20yd 'right 1 in, low 2 in'; needs --count.",
        many=True,
    )
    count: int | None = _typed("--count", "", "How many shots each --center is the middle of.")
    spread: str | None = _typed(
        "--spread", "SIZE", "How far one arrow scatters to a side (standard deviation), if known."
    )
    walkback: str | None = _typed(
        "--walkback -w",
        "POINTS",
        "Fletched shots from several distances with one sight setting, right of the plumb line: "
        "'20yd 0.1in, 40yd -0.4in'.",
    )
    film: Sequence[str] = _typed(
        "--film",
        "ARROW VIEW FILE",
        "One shot, filmed: bare above marks.csv, or beside; a line a frame: its number, nock right "
        "and down, point right and down, in pixels.",
        many=True,
    )
    fps: str | None = _typed("--fps", "NUMBER", "Frames a second of each --film; without it 240.")
    found: Sequence[str] = _typed(
        "--found -f",
        "WHAT",
        "Found without a shot: 'contact, lower left vane, powder', 'contact gone', 'cracked arrow "
        "bare', 'loose part', 'timing off'.",
        many=True,
    )
    looked: Sequence[str] = _typed(
        "--looked",
        "'WHAT ROUND yes|no'",
        "What you found when you were asked to look: 'reversed 3 no', 'contact no'.",
        many=True,
    )
    measured: str | None = _typed(
        "--measured -m",
        "MEASURES",
        "The bow as it is now: 'draw weight 61 lb, brace 6 7/8 in, timing even'.",
    )
    look_over: str | None = _typed(
        "--look-over", "STATE", "Limbs, strings, arrows: 'ok', or 'limbs ok, strings frayed'."
    )
    note: str | None = _typed("--note -n", "TEXT", "Anything else.")
    date: str | None = _typed("--date", "DATE", "When it was, like 2026-11-02; without it today.")

    def is_empty(self) -> bool:
        """Whether there is nothing to record."""
        return all(
            value in (None, [], (), "") for name, value in vars(self).items() if name != "date"
        )


def today() -> str:
    """The date on the wall of the shop."""
    return date.today().isoformat()


def _day(text: str) -> str:
    try:
        return date.fromisoformat(text.strip()).isoformat()
    except ValueError:
        raise InputProblem(f'--date: "{text}" is no date; write it like 2026-11-02') from None


def new_round(typed: Typed, units: UnitChoice) -> "NewRound":
    """The round that was typed. Raises InputProblem with the option that is wrong."""
    from vireton.bow.setting import BowSetting
    from vireton.job import NewRound
    from vireton.job.intake import parse_look_over, parse_measures
    from vireton.tuning.observations import parse_found, parse_looked
    from vireton.units.move_names import parse_rest

    if typed.rest is not None and typed.rest_at is not None:
        raise InputProblem("--rest is a move, --rest-at is a place: give one of them")
    move = parse_rest(typed.rest, "--rest") if typed.rest is not None else (None, None)
    place = parse_rest(typed.rest_at, "--rest-at") if typed.rest_at is not None else (None, None)
    return NewRound(
        observations=(
            *_tears(typed),
            *_groups(typed, units),
            *_walkback(typed, units),
            *_films(typed),
            *(parse_looked(one, "--looked") for one in typed.looked),
            *(parse_found(one, "--found") for one in typed.found),
        ),
        changes=_changes(typed),
        measures=parse_measures(typed.measured, "--measured") if typed.measured else {},
        look_over=parse_look_over(typed.look_over, "--look-over") if typed.look_over else {},
        move=BowSetting(move[0] or 0.0, move[1] or 0.0, _nock(typed)),
        stands={
            name: where
            for name, where in zip(("rest_right", "rest_up"), place, strict=True)
            if where is not None
        },
        note=typed.note or "",
        date=_day(typed.date) if typed.date else today(),
    )


def counted(typed: Typed, job: Path, setup: Path | None = None) -> Typed:
    """The same with lengths in the place of clicks of the rest, as the bow's file has them.

    ``setup`` is the bow of a job that is yet to begin. Raises InputProblem.
    """
    from vireton.units.clicks import says_clicks, without_clicks

    if not any(map(says_clicks, (typed.rest, typed.rest_at))):
        return typed
    from vireton.files.whole import is_there
    from vireton.job import read_log, setup_of
    from vireton.setup import load_setup

    bow = load_setup(setup) if setup and not is_there(job) else setup_of(read_log(job))
    return replace(
        typed,
        rest=typed.rest and without_clicks(typed.rest, bow.rest_click, "--rest"),
        rest_at=typed.rest_at and without_clicks(typed.rest_at, bow.rest_click, "--rest-at"),
    )


def kept_axes(log: "TuningLog", number: int, typed: Typed, new: "NewRound") -> "NewRound":
    """A correction in which an axis that is not named stays as it was."""
    from vireton.tuning.observations import Tear
    from vireton.units.bench_words import names_side, parse_sides

    old = [one for one in log.rounds.counting if one.number == number]
    texts = iter(_split(one, "--tear")[1] for one in typed.tear)
    found: list[Observation] = []
    for one in new.observations:
        if not isinstance(one, Tear):
            found.append(one)
            continue
        text = next(texts)
        was = [seen for r in old for seen in r.seen(Tear) if seen.arrow == one.arrow]
        if names_side(text) and len(was) == 1:
            right, up = parse_sides(text, "--tear", "", tail=True)
            one = Tear(  # noqa: PLW2901
                one.arrow,
                was[0].distance if typed.at is None else one.distance,
                was[0].right if right is None else right,
                was[0].up if up is None else up,
            )
        found.append(one)
    return replace(new, observations=tuple(found))


def _nock(typed: Typed) -> float:
    """How far the nocking point went up, m."""
    from vireton.units.bench_words import parse_sides

    if typed.nock is None:
        return 0.0
    example = 'write it like "up 1/32 in"'
    right, up = parse_sides(typed.nock, "--nock", example)
    if right is not None or up is None:
        raise InputProblem(f"--nock: the nocking point goes up or down only; {example}")
    return up


def _tears(typed: Typed) -> "list[Observation]":
    from vireton.tuning.observations import Tear, parse_arrow, parse_tear
    from vireton.units.text import parse

    if typed.at is not None and not typed.tear:
        raise InputProblem("--at is the distance of the paper: it needs --tear")
    distance = parse("6 ft" if typed.at is None else typed.at, "length", where="--at", like="6 ft")
    found: list[Observation] = []
    for one in typed.tear:
        arrow, tear = _split(one, "--tear")
        kind = parse_arrow(arrow, "--tear")
        found.append(Tear(kind, distance, *parse_tear(tear, "--tear")))
    return found


def _groups(typed: Typed, units: UnitChoice) -> "list[Group]":
    from vireton.tuning.observations import (
        group_of_center,
        group_of_shots,
        parse_center,
        parse_shot_arrow,
        parse_shots,
    )
    from vireton.units.text import parse

    unit = _usual_unit(units)
    found = []
    for one in typed.group:
        arrow, at, shots = _split(one, "--group")
        distance = parse(at, "length", where="--group", like="20 yd")
        found.append(
            group_of_shots(
                parse_shot_arrow(arrow, "--group"), distance, parse_shots(shots, "--group", unit)
            )
        )
    if not typed.center and (typed.count is not None or typed.spread is not None):
        raise InputProblem("--count and --spread belong to --center")
    if typed.center and typed.count is None:
        raise InputProblem("--center needs --count: how many shots it is the middle of")
    spread = None
    if typed.spread is not None:
        spread = parse(typed.spread, "length", where="--spread", like="1 in")
    for one in typed.center:
        arrow, at, place = _split(one, "--center")
        distance = parse(at, "length", where="--center", like="20 yd")
        middle = parse_center(place, "--center", unit)
        kind = parse_shot_arrow(arrow, "--center")
        found.append(group_of_center(kind, distance, middle, typed.count or 1, spread))
    return found


def _walkback(typed: Typed, units: UnitChoice) -> "tuple[Observation, ...]":
    from vireton.tuning.observations import parse_walkback

    if typed.walkback is None:
        return ()
    return parse_walkback(typed.walkback, "--walkback", _usual_unit(units))


def _films(typed: Typed) -> "list[Observation]":
    if typed.fps is not None and not typed.film:
        raise InputProblem("--fps is the frame rate of a film: it needs --film")
    if not typed.film:
        return []
    from vireton_cli.filming import read_film_file

    found: list[Observation] = []
    for one in typed.film:
        arrow, view, file = _split(one, "--film")
        found.append(read_film_file(arrow, view, file, typed.fps))
    return found


def _changes(typed: Typed) -> "tuple[Change, ...]":
    from vireton.job.setups import check_sets
    from vireton.tuning.changes_typed import parse_change

    found = tuple(parse_change(one, "--changed") for one in typed.changed)
    for one in found:
        check_sets(one, "--changed")
    return found


def _usual_unit(units: UnitChoice) -> str:
    return "in" if units is UnitChoice.US else "cm"
