"""The end of a job: the sight reset, marks, what is left, and whether more arrows are worth it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from vireton.answers.tune_words import chance, test_words
from vireton.units.display import BENCH, US, Display
from vireton.units.move_names import HOLE_SIDES
from vireton.units.numbers import INCH, YARD, number

if TYPE_CHECKING:
    from vireton.answers.tune import Tuned
    from vireton.job import TuningLog
    from vireton.tuning.outlook import Left
    from vireton.tuning.rounds import Round
    from vireton.tuning.spread import Spread

#: yd or m: where what is left is told, and the marks; the first of them is the sight's.
_LEFT = (20.0, 40.0, 60.0)
_MARKS = "20,30,40,50,60"
#: m, from the peep to the pin, where the setup file does not say (our choice).
USUAL_RADIUS = 33.0 * INCH
#: A test that adds less than this to the probability is not worth its arrows (our choice).
_WORTH = 0.05


@dataclass(frozen=True)
class SightReset:
    """How far fletched arrows land off the aim, rad right and up, one standard deviation each.

    ``arrows`` it is from; ``click`` rad of the sight, None where the setup does not say.
    """

    right: float
    up: float
    sd: float
    arrows: int
    click: float | None


@dataclass(frozen=True)
class HandOver:
    """What is told at the end; SI.

    ``reset``: None without a fletched group since the last change. ``left``: at each distance.
    ``scatter``: m, of one arrow on one axis there. ``marks``: distance and pin below that of the
    first, m, for a pin ``radius`` m from the peep.
    """

    tuned: "Tuned"
    reset: SightReset | None
    left: "tuple[Left, ...]"
    scatter: tuple[float, ...]
    marks: tuple[tuple[float, float], ...]
    radius: float

    def to_dict(self) -> dict[str, Any]:
        """For JSON: inches, yards and milliradians."""
        reset = self.reset
        return {
            "sight_reset": None
            if reset is None
            else {
                "right_in_at_20yd": number(reset.right * 20.0 * YARD / INCH),
                "up_in_at_20yd": number(reset.up * 20.0 * YARD / INCH),
                "right_mrad": number(1e3 * reset.right),
                "up_mrad": number(1e3 * reset.up),
                "sd_mrad": number(1e3 * reset.sd),
                "right_clicks": None if not reset.click else number(reset.right / reset.click),
                "up_clicks": None if not reset.click else number(reset.up / reset.click),
                "arrows": reset.arrows,
            },
            "left": [
                {
                    "distance_yd": number(one.distance / YARD),
                    "separation_in": [number(float(x) / INCH) for x in one.separation[0]],
                    "fletched_in": [number(float(x) / INCH) for x in one.fletched[0]],
                    "scatter_in": number(scatter / INCH),
                }
                for one, scatter in zip(self.left, self.scatter, strict=True)
            ],
            "marks": [
                {"distance_yd": number(far / YARD), "below_in": number(gap / INCH)}
                for far, gap in self.marks
            ],
            "pin_radius_in": number(self.radius / INCH),
            "probability_inside_tolerance": number(self.tuned.inside),
        }


def hand_over(log: "TuningLog", display: Display = US) -> HandOver:
    """The end of a job as it stands, at round distances of this system.

    Raises InputProblem where the setup cannot be used.
    """
    from vireton.answers.marks import FindMarks
    from vireton.answers.tune import tune_log
    from vireton.tuning.outlook import what_is_left

    tuned = tune_log(log)
    setup = tuned.question.setup
    spread = tuned.turn.spread
    radius = setup.sight.radius or USUAL_RADIUS
    gaps: tuple[tuple[float, float], ...] = ()
    if setup.sight.sight_in is not None:
        asked = {
            "setup": setup,
            "radius": radius,
            "distances": f"{_MARKS} {display.far}",
            "draws": 8,
        }
        found = list(FindMarks.read(asked).answer().values())
        first = found[0]["mark"][0]
        gaps = tuple((one["distance"], one["mark"][0] - first) for one in found)
    where = tuple(far * display.far_size for far in _LEFT)
    return HandOver(
        tuned,
        sight_reset(log.rounds.counting, spread, setup.sight.click),
        tuple(what_is_left(tuned.turn, where)),
        tuple(spread.at(far) * tuned.turn.scatter for far in where),
        gaps,
        radius,
    )


def sight_reset(
    rounds: "Sequence[Round]", spread: "Spread", click: float | None
) -> SightReset | None:
    """Where fletched arrows land since the last change; None where none were shot."""
    from vireton.tuning.observations import Group
    from vireton.tuning.observations.group import center_variance

    since = 0
    for k in range(1, len(rounds)):
        if rounds[k].setting != rounds[k - 1].setting or rounds[k].changes:
            since = k
    # changes come before what was shot in their round
    groups = [one for r in rounds[since:] for one in r.seen(Group) if one.arrow == "fletched"]
    if not groups:
        return None
    weights = [
        one.distance**2 / center_variance(spread.sd, one.distance, one.count) for one in groups
    ]
    whole = sum(weights)

    def mean(axis: int) -> float:
        return (
            sum(
                weight * one.center[axis] / one.distance
                for weight, one in zip(weights, groups, strict=True)
            )
            / whole
        )

    return SightReset(mean(0), mean(1), whole**-0.5, sum(one.count for one in groups), click)


def hand_over_words(found: HandOver, display: Display) -> list[str]:
    """The end in a few lines: sight, what is left, more arrows, marks."""
    return [
        reset_words(found.reset, display),
        *left_words(found, display),
        worth_words(found.tuned, display),
        *marks_words(found, display),
    ]


def reset_words(reset: SightReset | None, display: Display) -> str:
    """``Sight: move it 0.6 in left and 0.2 in up at 20 yd (0.8 and 0.3 mrad; …)``."""
    if reset is None:
        return (
            "Sight: no fletched arrows since the last change. Shoot three at "
            f"{display.distance(_LEFT[0] * display.far_size)} and record them: they show how far "
            "to move it"
        )
    near = _LEFT[0] * display.far_size
    far, size = display.distance(near), display.small_size
    error = 2.0 * reset.sd * near / size
    parts = []
    for value, (positive, negative) in zip(
        (reset.right, reset.up), (("right", "left"), ("up", "down")), strict=True
    ):
        if abs(value) < 2.0 * reset.sd:
            continue
        clicks = ""
        if reset.click:
            count = round(abs(value) / reset.click)
            clicks = f", {count} click{'' if count == 1 else 's'}"
        parts.append(
            f"{abs(value) * near / size:.1f} {display.small} "
            f"{positive if value > 0.0 else negative} ({abs(value) * 1e3:.1f} mrad{clicks})"
        )
    arrows = f"{reset.arrows} arrow{'' if reset.arrows == 1 else 's'}"
    if not parts:
        shows = "shows" if reset.arrows == 1 else "show"
        within = f"{error:.1f} {display.small} at {far}"
        return f"Sight: leave it; {arrows} {shows} it right within {within}"
    return (
        f"Sight: move it {' and '.join(parts)} at {far}, the way the arrows went; by {arrows}, "
        f"give or take {error:.1f} {display.small}"
    )


def left_words(found: HandOver, display: Display) -> list[str]:
    """What is left at each distance beside what one arrow scatters."""
    lines = []
    for one, scatter in zip(found.left, found.scatter, strict=True):
        off = [
            _beside(float(value), names, display)
            for value, names in zip(one.separation[0], HOLE_SIDES, strict=True)
        ]
        size = display.small_size
        lines.append(
            f"At {display.distance(one.distance)}: the bare shaft {off[0]} and {off[1]}; one "
            f"arrow scatters {scatter / size:.1f} {display.small}"
        )
    return lines


def _beside(value: float, names: tuple[str, str], display: Display) -> str:
    size = f"{abs(value) / display.small_size:.1f}"
    if float(size) == 0.0:
        return "in line" if names[0] == "right" else "level"
    return f"{size} {display.small} {names[0] if value > 0.0 else names[1]}"


def worth_words(tuned: "Tuned", display: Display) -> str:
    """Whether more arrows would be worth it."""
    best = tuned.next_tests()[0]
    reach = f"{tuned.question.tolerance / display.small_size:.1f} {display.small}"
    now = f"{chance(tuned.inside)} that bare and fletched are within {reach} of the aim at 20 yd"
    if best.then - best.inside < _WORTH or chance(best.then) == chance(best.inside):
        return f"{now}; more arrows won't tell much"
    return f"{now}; {test_words(best.test)} would make it {chance(best.then)}"


def marks_words(found: HandOver, display: Display) -> list[str]:
    """Pins below the first one."""
    if not found.marks:
        return []
    unit, size = display.unit(BENCH)
    digits = 2 if display.name == "us" else 1
    gaps = ", ".join(
        f"{display.distance(far)} {gap / size:.{digits}f} {unit}" for far, gap in found.marks[1:]
    )
    first = display.distance(found.marks[0][0])
    return [
        f"Marks below the {first} pin, worked out for {found.radius / INCH:.0f} in from peep to "
        f"pin: {gaps}. Shoot them in"
    ]


def uncured_lines(tuned: "Tuned") -> tuple[str, ...]:
    """What was found and is not cured: what was shot with it does not count."""
    from vireton.tuning.observations.found import CURES

    finding = tuned.turn.finding
    if finding is None:
        return ()
    place = f" ({finding.where})" if finding.where else ""
    return (f"Still open: {finding.what}. {CURES[finding.what]}{place}.",)
