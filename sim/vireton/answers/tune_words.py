"""The tuner's answer in words."""

from typing import TYPE_CHECKING, Any

from vireton.units.display import Display, digits_for, plain
from vireton.units.move_names import move_name
from vireton.units.numbers import percent

if TYPE_CHECKING:
    from vireton.answers.tune import Tuned

#: Share of its prior's width above which the data have not said anything about an unknown.
_NOTHING_LEARNT = 0.9


def _separation_words(values: Any, display: Display) -> str:
    """``2.0 in left (-3.3 to -0.7) and 0.3 in high (-0.6 to +1.4) of the fletched``."""
    return f"{_side(values, 0, display)} and {_side(values, 1, display)} of the fletched"


def _side(values: Any, axis: int, display: Display) -> str:
    mean, low, high = (float(one[axis]) / display.small_size for one in values)
    digits = digits_for(high - low)
    band = f"({plain(low, digits)} to {plain(high, digits)})"
    if not round(mean, digits):
        return f"{('in line', 'level')[axis]} {band}"
    word = (("right", "left"), ("high", "low"))[axis][0 if mean > 0.0 else 1]
    return f"{abs(mean):.{digits}f} {display.small} {word} {band}"


def _stray_words(tuned: "Tuned", display: Display) -> list[str]:
    """The shots that stand apart from their groups: named, and kept."""
    from vireton.tuning.groups import outliers
    from vireton.tuning.observations import Group

    return [
        f"shot {place + 1} of the {group.arrow} group at {display.distance(group.distance)} in "
        f"round {one.number} stands apart from the rest of its group. It counts all the same; if "
        "it was a bad shot, take the round back and record it without"
        for one in tuned.question.log.rounds.counting
        for group in one.seen(Group)
        for place in outliers(group, tuned.turn.spread)
    ]


def advice_words(tuned: "Tuned", display: Display) -> list[str]:
    """The next step first, then why, what to expect, and what would prove it wrong."""
    return [_headline(tuned, display), *expectation_words(tuned, display)]


def expectation_words(tuned: "Tuned", display: Display) -> list[str]:
    """What is odd about the log, what to expect, and what would prove the advice wrong."""
    from vireton.studies.rest_moves import TALKING_DISTANCE

    advice = tuned.turn.advice
    at = display.distance(TALKING_DISTANCE)
    lines = []
    if tuned.turn.error_inflation > 1.0:
        lines.append(
            f"what was seen fits together badly ({tuned.turn.error_inflation:.1f} times worse "
            "than it should): something is not in the model, or one entry is wrong. All errors are "
            "taken as that much larger"
        )
    lines += _stray_words(tuned, display)
    lines.append(f"bare shaft at {at} now: {_separation_words(advice.now, display)}")
    if advice.verdict == "move":
        lines.append(f"expected after the move: {_separation_words(advice.predicted, display)}")
        lines.append(_disproof(tuned, display))
    return lines


def verdict_words(tuned: "Tuned", display: Display) -> tuple[str, str]:
    """(the call, why) of the advice: ``("NEXT: rest left 1/32 in", "83 % that it …")``."""
    from vireton.studies.rest_moves import TALKING_DISTANCE

    advice = tuned.turn.advice
    chance = percent(advice.probability_better)
    at = display.distance(TALKING_DISTANCE)
    if advice.verdict == "move":
        name = move_name(*advice.move.rest)
        if advice.is_test:
            side = max(advice.probability_right, 1.0 - advice.probability_right)
            return f"NEXT, as a test: {name}", (
                "Which way this bow answers sideways is still open "
                f"({percent(side)} for the likelier side), and this move shows it; {chance} "
                "that it helps at once. Shoot bare and fletched before and after"
            )
        return f"NEXT: {name}", f"{chance} that it brings bare and fletched closer"
    if advice.verdict == "stop":
        inside = percent(advice.probability_inside)
        if advice.probability_inside < 0.5:
            return "STOP here", (
                "no whole step of this rest is likely to bring bare and fletched closer "
                f"({inside} that they are inside the tolerance)"
            )
        tolerance = advice.tolerance / display.small_size
        return "STOP here", (
            f"{inside} that bare and fletched are "
            f"within {tolerance:.1f} {display.small} at {at}, which is "
            "inside the tolerance or what this shooter can hold"
        )
    if advice.shots_needed <= 3:
        return "CANNOT TELL YET", (
            f"shoot 3 bare and 3 fletched with this rest setting at {at}; less does not say what "
            "the arrows do"
        )
    return "CANNOT TELL YET", (
        "what is left is too small against the scatter for a move that is sure "
        f"to help. Shoot up to {advice.shots_needed} of each, bare and fletched, in all"
    )


def _headline(tuned: "Tuned", display: Display) -> str:
    call, why = verdict_words(tuned, display)
    advice = tuned.turn.advice
    if advice.verdict != "move":
        return f"{call}: {why}"
    return f"{call}. {why}" if advice.is_test else f"{call} ({why})"


def standing_words(tuned: "Tuned", display: Display) -> str:
    """Which bow, how many rounds, where the rest stands, how much one arrow scatters."""
    from vireton.studies.rest_moves import TALKING_DISTANCE

    count = len(tuned.question.log.rounds.counting)
    stands = move_name(*tuned.question.log.setting.rest).removeprefix("rest ")
    sd = tuned.turn.spread.at(TALKING_DISTANCE) / display.small_size
    stands = stands if any(tuned.question.log.setting.rest) else "where it was"
    return (
        f"{tuned.question.setup.bow.name}, {count} round{'' if count == 1 else 's'}; the rest "
        f"stands {stands} from the start; one arrow scatters {sd:.1f} {display.small} (SD) at "
        f"{display.distance(TALKING_DISTANCE)}"
    )


def _disproof(tuned: "Tuned", display: Display) -> str:
    import numpy as np

    from vireton.studies.rest_moves import TALKING_DISTANCE

    advice = tuned.turn.advice
    axis = 0 if advice.move.rest_right else 1
    now, then = float(advice.now[0][axis]), float(advice.predicted[0][axis])
    words = (("right of", "left of"), ("above", "below"))[axis]
    away = words[0] if now > then else words[1]
    low, high = (float(end[axis]) for end in advice.predicted[1:])
    far = max(abs(low - now), abs(high - now)) if advice.is_test else abs(now - then)
    # three shots of each scatter this much by themselves
    chance = tuned.turn.spread.at(TALKING_DISTANCE) * np.sqrt(2.0 / 3.0)
    least = max(0.3 * far, float(chance)) / display.small_size
    return (
        f"it is wrong if the bare shaft lands farther {away} the fletched instead (by more than "
        f"{least:.1f} {display.small}): then go back, and as far the other way"
    )


def unknown_rows(tuned: "Tuned") -> list[tuple[str, str, str]]:
    """(name, value with its 95 % interval, remark) of what the inference is about."""
    import numpy as np

    from vireton.tuning.prior import NAMES

    samples = tuned.turn.posterior.samples(4000)
    step = tuned.question.tuner.step
    wide = np.sqrt(np.diag(tuned.question.tuner.prior.components[0].covariance))
    names = {
        "rate_right": ("yaw rate at the start, rad/s", 1.0),
        "angle_right": ("yaw at the start, °", np.pi / 180.0),
        "rate_up": ("pitch rate at the start, rad/s", 1.0),
        "angle_up": ("pitch at the start, °", np.pi / 180.0),
        "rate_gain_right": ("yaw rate per rest step right, rad/s", 1.0 / step),
        "rate_gain_up": ("pitch rate per rest step up, rad/s", 1.0 / step),
        "sight_right": ("sight, right, mrad", 1e-3),
        "sight_up": ("sight, up, mrad", 1e-3),
    }
    rows = []
    for key, (name, size) in names.items():
        k = NAMES.index(key)
        drawn = samples[:, k] / size
        low, high = np.percentile(drawn, [2.5, 97.5])
        digits = max(2, digits_for(float(high - low)))
        remark = ""
        if np.std(samples[:, k]) > _NOTHING_LEARNT * wide[k]:
            remark = "not determined by what was seen"
        ends = f"({plain(float(low), digits)} to {plain(float(high), digits)})"
        rows.append((name, f"{plain(float(drawn.mean()), digits)} {ends}", remark))
    right = tuned.turn.posterior.probability_right
    rows.append(("rest right turns the nose right", percent(right), _side_remark(right)))
    return rows


def _side_remark(right: float) -> str:
    if 0.1 < right < 0.9:
        return "open"
    return "shown by this bow"
