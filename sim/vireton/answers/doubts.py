"""What looks like a slip of typing, before it is taken: one question with two readings."""

from dataclasses import dataclass, replace

from vireton.job import NewRound, TuningLog
from vireton.job.write import setting_after
from vireton.tuning.observations import Group, Observation, Tear, group_of_center, group_of_shots
from vireton.tuning.rounds import Round
from vireton.tuning.stories import Story
from vireton.units.bench_words import Pair
from vireton.units.display import Display
from vireton.units.move_names import MOVE_SIDES, sides
from vireton.units.numbers import INCH
from vireton.units.problems import InputProblem

#: Beyond these it is asked (our choice): a tear, a rest move at one go, and a shot beside or above
#: where it was aimed: so much, and so much more a m of distance. Below it a far shot with a near
#: pin belongs.
LARGEST_TEAR, LARGEST_MOVE = 2.0 * INCH, 0.25 * INCH
LARGEST_MISS, LARGEST_MISS_ANGLE, LOWER = 6.0 * INCH, 0.017, 4.0
#: A story about the new round is asked about from this probability on (our choice).
_LIKELY = 0.5


@dataclass(frozen=True)
class Doubt:
    """One question, what was typed, what may have been meant, and the round that would be."""

    question: str
    as_typed: str
    meant: str = ""
    other: NewRound | None = None


def doubt_of(log: TuningLog, new: NewRound, display: Display) -> Doubt | None:
    """What is odd about a round that is to be recorded; None where nothing is.

    Large numbers by themselves; else what the rest of the job contradicts.
    """
    for place, one in enumerate(new.observations):
        if _is_large(one):
            return _ten_times(new, place, display, "")
    for name, size in zip(("rest_right", "rest_up"), new.move.rest, strict=True):
        if abs(size) > LARGEST_MOVE:
            move = ", ".join(sides(new.move.rest, MOVE_SIDES, display.name))
            tenth = replace(new, move=replace(new.move, **{name: _in_inches(size / 10.0)}))
            meant = ", ".join(sides(tenth.move.rest, MOVE_SIDES, display.name))
            return Doubt(f"Did the rest move {move} at one go?", move, meant, tenth)
    return _contradicted(log, new, display)


def _is_large(one: Observation) -> bool:
    if isinstance(one, Tear):
        return max(abs(one.right), abs(one.up)) > LARGEST_TEAR
    if isinstance(one, Group):
        far = LARGEST_MISS + LARGEST_MISS_ANGLE * one.distance
        return any(abs(right) > far or not -LOWER * far <= up <= far for right, up in _places(one))
    return False


def _tenth(one: Observation) -> Observation:
    """The entry with its largest number ten times smaller."""
    if isinstance(one, Tear):
        if abs(one.right) >= abs(one.up):
            return replace(one, right=_in_inches(one.right / 10.0))
        return replace(one, up=_in_inches(one.up / 10.0))
    assert isinstance(one, Group)
    places = [list(place) for place in _places(one)]
    at, axis = max(
        ((k, a) for k in range(len(places)) for a in (0, 1)), key=lambda p: abs(places[p[0]][p[1]])
    )
    places[at][axis] = _in_inches(places[at][axis] / 10.0)
    return _at_places(one, tuple((right, up) for right, up in places))


def _in_inches(meters: float) -> float:
    """The same, as a number of inches that can be written."""
    return round(meters / INCH, 4) * INCH


def _ten_times(new: NewRound, place: int, display: Display, why: str) -> Doubt:
    one = new.observations[place]
    tenth = _tenth(one)
    seen = (*new.observations[:place], tenth, *new.observations[place + 1 :])
    said, meant = one.words(display.name), tenth.words(display.name)
    return Doubt(
        f"{said[:1].upper()}{said[1:]}?{why}", said, meant, replace(new, observations=seen)
    )


def _contradicted(log: TuningLog, new: NewRound, display: Display) -> Doubt | None:
    """What the rest of the job says against the new round."""
    counting = log.rounds.counting
    if new.changes or not any(one.measures for one in counting):
        return None
    number = log.rounds.all[-1].number + 1
    setting = setting_after(log.setting, new)
    typed = Round(number, setting, new.observations, version=log.version)
    if not typed.measures:
        return None
    from vireton.answers.tune import Tune

    try:
        turn = Tune.read({"log": log}).tuner.turn([*counting, typed], setting)
    except InputProblem:
        return None  # the round is recorded all the same; its advice tells the reason
    likely = next(
        ((s, p) for s, p in turn.posterior.stories().items() if s.kind != "none"), (None, 0.0)
    )
    if likely[0] is None or likely[0].round != number or likely[1] < _LIKELY:
        return None
    return _of_story(likely[0], new, display)


def _of_story(story: Story, new: NewRound, display: Display) -> Doubt | None:
    why = " The arrows before say otherwise."
    seen = [k for k, one in enumerate(new.observations) if isinstance(one, Tear | Group)]
    if story.kind == "decimal" and seen:
        largest = max(seen, key=lambda k: _size(new.observations[k]))
        return _ten_times(new, largest, display, why)
    if story.kind == "swapped" and seen:
        turned = tuple(_mirrored(one) for one in new.observations)
        words = "; ".join(new.observations[k].words(display.name) for k in seen)
        meant = "; ".join(turned[k].words(display.name) for k in seen)
        other = replace(new, observations=turned)
        return Doubt(f"Are left and right the right way round?{why}", words, meant, other)
    if story.kind == "reversed" and any(new.move.rest):
        back = replace(new.move, rest_right=-new.move.rest_right, rest_up=-new.move.rest_up)
        words, meant = (
            f"rest {', '.join(sides(move.rest, MOVE_SIDES, display.name))}"
            for move in (new.move, back)
        )
        other = replace(new, move=back)
        return Doubt(f"Did the rest go the way you typed?{why}", words, meant, other)
    return None


def _size(one: Observation) -> float:
    if isinstance(one, Tear):
        return max(abs(one.right), abs(one.up))
    if isinstance(one, Group):
        return max(abs(x) for place in _places(one) for x in place)
    return 0.0


def _mirrored(one: Observation) -> Observation:
    if isinstance(one, Tear):
        return replace(one, right=-one.right)
    if isinstance(one, Group):
        return _at_places(one, tuple((-right, up) for right, up in _places(one)))
    return one


def _places(one: Group) -> tuple[Pair, ...]:
    """What was typed of a group: its shots, or its middle."""
    return one.shots or (one.center,)


def _at_places(one: Group, places: tuple[Pair, ...]) -> Group:
    """The group with other numbers in the place of those that were typed."""
    if one.shots:
        return group_of_shots(one.arrow, one.distance, places)
    return group_of_center(one.arrow, one.distance, places[0], one.count, one.spread)
