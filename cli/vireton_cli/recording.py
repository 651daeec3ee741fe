"""From the options of ``vireton record`` as typed to a round of the library."""

from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING, Any

from typer.core import TyperCommand

from vireton.units.problems import InputProblem
from vireton_cli.options import UnitChoice

if TYPE_CHECKING:
    from vireton.job import NewRound
    from vireton.tuning.observations import Group, Observation

#: Options that take several values, and what each is called.
_VALUES = {
    "--tear": ("ARROW", "TEAR"),
    "--group": ("ARROW", "DISTANCE", "SHOTS"),
    "--center": ("ARROW", "DISTANCE", "PLACE"),
}
_OLDER = {"--centre": "--center"}  # as 0.1.0 spelled it
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


@dataclass(frozen=True)
class Typed:
    """What was typed, apart from the names of the files."""

    rest: str | None
    rest_at: str | None
    nock: str | None
    tears: list[str]
    at: str | None
    groups: list[str]
    centers: list[str]
    count: int | None
    spread: str | None
    walkback: str | None
    looked: list[str]
    note: str | None

    def is_empty(self) -> bool:
        """Whether there is nothing to record."""
        return all(value in (None, [], "") for value in vars(self).values())


def today() -> str:
    """The date on the wall of the shop."""
    return date.today().isoformat()


def new_round(typed: Typed, units: UnitChoice) -> "NewRound":
    """The round that was typed. Raises InputProblem with the option that is wrong."""
    from vireton.bow.setting import BowSetting
    from vireton.job import NewRound
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
            *_looked(typed),
        ),
        move=BowSetting(move[0] or 0.0, move[1] or 0.0, _nock(typed)),
        stands={
            name: where
            for name, where in zip(("rest_right", "rest_up"), place, strict=True)
            if where is not None
        },
        note=typed.note or "",
        date=today(),
    )


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

    if typed.at is not None and not typed.tears:
        raise InputProblem("--at is the distance of the paper: it needs --tear")
    distance = parse("6 ft" if typed.at is None else typed.at, "length", where="--at", like="6 ft")
    found: list[Observation] = []
    for one in typed.tears:
        arrow, tear = _split(one, "--tear")
        found.append(Tear(parse_arrow(arrow, "--tear"), distance, *parse_tear(tear, "--tear")))
    return found


def _groups(typed: Typed, units: UnitChoice) -> "list[Group]":
    from vireton.tuning.observations import (
        group_of_center,
        group_of_shots,
        parse_arrow,
        parse_center,
        parse_shots,
    )
    from vireton.units.text import parse

    unit = _usual_unit(units)
    found = []
    for one in typed.groups:
        arrow, at, shots = _split(one, "--group")
        distance = parse(at, "length", where="--group", like="20 yd")
        found.append(
            group_of_shots(
                parse_arrow(arrow, "--group"), distance, parse_shots(shots, "--group", unit)
            )
        )
    if not typed.centers and (typed.count is not None or typed.spread is not None):
        raise InputProblem("--count and --spread belong to --center")
    if typed.centers and typed.count is None:
        raise InputProblem("--center needs --count: how many shots it is the middle of")
    spread = None
    if typed.spread is not None:
        spread = parse(typed.spread, "length", where="--spread", like="1 in")
    for one in typed.centers:
        arrow, at, place = _split(one, "--center")
        distance = parse(at, "length", where="--center", like="20 yd")
        middle = parse_center(place, "--center", unit)
        kind = parse_arrow(arrow, "--center")
        found.append(group_of_center(kind, distance, middle, typed.count or 1, spread))
    return found


def _walkback(typed: Typed, units: UnitChoice) -> "tuple[Observation, ...]":
    from vireton.tuning.observations import parse_walkback

    if typed.walkback is None:
        return ()
    return parse_walkback(typed.walkback, "--walkback", _usual_unit(units))


def _looked(typed: Typed) -> "list[Observation]":
    from vireton.tuning.observations import parse_looked

    return [parse_looked(one, "--looked") for one in typed.looked]


def _usual_unit(units: UnitChoice) -> str:
    return "in" if units is UnitChoice.US else "cm"
