"""The plain answer of ``compare``: is another arrow better than the first, and is that clear?"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from vireton.answers.compare_words import clear_words
from vireton.studies.figures import BY_NAME, Figure
from vireton.units.display import Display

if TYPE_CHECKING:
    from vireton.studies.compare import Compared, Place

#: Figures that say which arrow is better, lower being better, and what each of them tells of.
QUALITIES = {
    "settling_distance": "steers",
    "yaw_rate_shift": "steers",
    "drift": "drifts",
    "drop": "drops",
}
_MORE = {"steers": "steers better", "drifts": "drifts less", "drops": "drops less"}
_MOST = {"steers": "steers best", "drifts": "drifts least", "drops": "drops least"}
#: A difference of two means is told from none at twice its own scatter (common practice, no
#: source), and that of n shots each is the scatter of one times the root of 2 ÷ n.
_SHOTS = 8.0
_ROUNDING = 1e-9  # 18 of each are not 19 for a last digit
#: One arrow is no group.
_FEWEST = 2
#: More arrows of each than anybody shoots to settle a question (our choice).
_MANY = 60

Call = Literal["yes", "no", "no_clear_difference", "cannot_tell"]


@dataclass(frozen=True)
class Told:
    """One clear difference from the first arrow: of which arrow, in what, where, which way."""

    arrow: "Compared"
    figure: Figure
    place: "Place"
    is_better: bool

    @property
    def quality(self) -> str:
        """``"steers"``, ``"drifts"`` or ``"drops"``."""
        return QUALITIES[self.figure.name]

    @property
    def gain(self) -> float:
        """By how much it is better, SI."""
        return _gain(self.arrow, self.figure, self.place)

    def words(self, display: Display) -> str:
        """``"settles 15 yd (12 to 17) sooner"``."""
        verdict = self.arrow.verdict(self.figure.name, self.place)
        return clear_words(self.figure, self.arrow, self.place, verdict, display)


@dataclass(frozen=True)
class Verdict:
    """What the comparison comes to.

    ``clear``: every clear difference from the first arrow, each at the farthest distance where it
    is clear. ``arrows``: of each to shoot at the farthest distance until the drop's difference
    shows, for the one that hits farthest from the first, at the setup's own aim; None where they
    drop alike.
    """

    compared: "Sequence[Compared]"
    distances: Sequence[float]
    clear: tuple[Told, ...]
    is_known: bool
    arrows: int | None

    @property
    def answer(self) -> Call:
        """Yes where another arrow is better than the first in anything."""
        if any(one.is_better for one in self.clear):
            return "yes"
        if self.clear:
            return "no"
        return "no_clear_difference" if self.is_known else "cannot_tell"


def verdict_of(compared: "Sequence[Compared]", distances: Sequence[float], aim: float) -> Verdict:
    """The verdict.

    Args:
        compared: every arrow, the first one first.
        distances: (n,) m.
        aim: standard deviation of where the bow points up and down, rad.
    """
    clear = tuple(
        found for one in compared[1:] for name in QUALITIES if (found := _clear(one, name))
    )
    last = len(distances) - 1
    known = any(
        one.verdict(name, _places(name, last)[0]) != "cannot_tell"
        for one in compared[1:]
        for name in QUALITIES
    )
    return Verdict(compared, distances, clear, known, _to_shoot(clear, distances, aim))


def _places(name: str, last: int) -> "list[Place]":
    """Where a figure has a value, the farthest first."""
    return [*range(last, -1, -1)] if BY_NAME[name].at_distance else [()]


def _clear(one: "Compared", name: str) -> Told | None:
    last = one.differences[name].nominal.size - 1
    for place in _places(name, last):
        if one.verdict(name, place) in {"lower", "higher"}:
            figure = BY_NAME[name]
            return Told(one, figure, place, _gain(one, figure, place) > 0.0)
    return None


def _gain(one: "Compared", figure: Figure, place: "Place") -> float:
    """By how much less it is than the first arrow's; of what goes to either side, less far off."""
    own = float(one.figures[figure.name][place].nominal)
    change = float(one.differences[figure.name][place].nominal)
    return abs(own - change) - abs(own) if figure.two_sided else -change


def _to_shoot(clear: Sequence[Told], distances: Sequence[float], aim: float) -> int | None:
    last = len(distances) - 1
    apart = [abs(one.gain) for one in clear if one.figure.name == "drop" and one.place == last]
    if not apart:
        return None
    return max(_FEWEST, math.ceil(_SHOTS * (aim * distances[last] / max(apart)) ** 2 - _ROUNDING))


def verdict_words(found: Verdict, display: Display) -> list[str]:
    """The answer in a sentence or two, what decides, and what to shoot or to change."""
    if found.answer in {"no_clear_difference", "cannot_tell"}:
        return _undecided(found, display)
    several = len(found.compared) > 2
    lines = [_of_several(found, display) if several else _of_two(found, display)]
    return [*lines, _next(found, display)]


def _at(told: Sequence[Told], found: Verdict, display: Display) -> str:
    """Differences in words, those at a distance behind it."""
    pieces = [one.words(display) for one in told if one.place == ()]
    for i, distance in enumerate(found.distances):
        here = [one.words(display) for one in told if one.place == i]
        if here:
            pieces.append(f"at {display.distance(distance)} {', '.join(here)}")
    return "; ".join(pieces)


def _of_two(found: Verdict, display: Display) -> str:
    first, other = (one.contender.label for one in found.compared)
    better = [one for one in found.clear if one.is_better]
    worse = [one for one in found.clear if not one.is_better]
    price = _at(worse, found, display)
    if not better:
        return f"No: {other} is no better than {first}, and clearly so: {price}."
    does = " and ".join(dict.fromkeys(_MORE[one.quality] for one in better))
    said = f"Yes: {other} {does} than {first}, and clearly so: {_at(better, found, display)}."
    return f"{said} The price: {price}." if worse else said


def _of_several(found: Verdict, display: Display) -> str:
    """For each quality the arrow that gains most on the first, or the first itself."""
    first = found.compared[0].contender.label
    said = {_MOST[quality]: _best(found, quality, display) for quality in _MOST}
    told = "; ".join(f"{who} {does}" if who else "" for does, who in said.items() if who)
    others = len(found.compared) - 1
    if found.answer == "no":
        return f"No: none of the {others} is better than {first}, and clearly so: {told}."
    return (
        f"Yes: against {first}, {told}. Two that both beat it are not told apart here: compare "
        "those two alone."
    )


def _best(found: Verdict, quality: str, display: Display) -> str:
    """Who does best, with how much; empty where that is not clear."""
    told = [one for one in found.clear if one.quality == quality]
    better = [one for one in told if one.is_better]
    if better:
        name = better[0].figure.name
        most = max((one for one in better if one.figure.name == name), key=lambda one: one.gain)
        return f"{most.arrow.contender.label} ({_at([most], found, display)})"
    behind = {one.arrow.contender.label for one in told}
    return found.compared[0].contender.label if len(behind) == len(found.compared) - 1 else ""


def _next(found: Verdict, display: Display) -> str:
    """What decides between them, and what to shoot."""
    kinds = {(one.quality == "steers", one.is_better) for one in found.clear}
    said = ""
    if (True, True) in kinds and (False, False) in kinds:
        said = (
            "What decides: broadheads and crooked launches want the steering; wind and long shots "
            "want the other. "
        )
    elif (True, False) in kinds and (False, True) in kinds:
        said = (
            "What decides: wind and long shots want the slicker arrow; broadheads and crooked "
            "launches want the steering. "
        )
    return said + _shooting(found, display)


def _shooting(found: Verdict, display: Display) -> str:
    if found.arrows is None:
        if any(one.quality == "steers" for one in found.clear):
            return (
                "To see it, shoot broadheads with both: the better steered land nearer the field "
                "points."
            )
        return "Only a steady crosswind shows it: in still air they land alike."
    if found.arrows > _MANY:
        return (
            "To see it takes more arrows than anybody shoots, by the aim in [scatter]: take a "
            "larger change, or shoot farther."
        )
    return (
        f"To see it, leave the sight, shoot {found.arrows} of each at "
        f"{display.distance(found.distances[-1])}, turn about, and compare how high their middles "
        "are: enough for the aim in [scatter]."
    )


def _undecided(found: Verdict, display: Display) -> list[str]:
    *most, last = (one.contender.label for one in found.compared)
    names = f"{', '.join(most)} and {last}"
    near, far = (display.distance(found.distances[i]) for i in (0, -1))
    if found.answer == "cannot_tell":
        return [
            f"No answer: {names} cannot be compared in steering, drift or drop. See below what is "
            "missing."
        ]
    where = f"{near.split()[0]} to {far}" if near != far else far
    wide = list(dict.fromkeys(QUALITIES[name] for name in QUALITIES if _is_wide(found, name)))
    said = f"No clear difference at {where}: {names} steer, drift and drop alike"
    if not wide:
        return [
            f"{said}, as far as anybody could see. Choose by weight, clearance, noise or price; a "
            "larger change would show."
        ]
    return [
        f"{said}, or what nobody measured decides. Open is which {' and which '.join(wide)} more: "
        "shoot both, or see what to measure with vireton measure."
    ]


def _is_wide(found: Verdict, name: str) -> bool:
    """Whether a difference could be seen, could we only tell which way it goes."""
    least = BY_NAME[name].least
    return any(
        max(abs(float(band.low)), abs(float(band.high))) > 2.0 * least
        for one in found.compared[1:]
        for place in _places(name, len(found.distances) - 1)
        if one.verdict(name, place) == "no_clear_difference"
        for band in [one.differences[name][place]]
    )
