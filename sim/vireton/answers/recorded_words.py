"""What is said after a round: what to do next, and what its arrows said."""

from dataclasses import replace
from typing import TYPE_CHECKING

from vireton.answers.filmed import film_words
from vireton.answers.tune_words import BESIDE, advice_words, length, side
from vireton.units.display import Display

if TYPE_CHECKING:
    from vireton.answers.tune import Tuned
    from vireton.kernel.arrays import FloatArray
    from vireton.tuning.loop import Turn


def recorded_words(tuned: "Tuned", display: Display) -> list[str]:
    """After a round: what to do next, then what its arrows said."""
    return [
        *advice_words(tuned, display),
        *several_words(tuned, display),
        *broadhead_words(tuned, display),
        *walkback_words(tuned, display),
        *film_words(tuned),
    ]


def walkback_words(tuned: "Tuned", display: Display) -> list[str]:
    """What walk-back points of the last round say, with all that the job has of them."""
    from vireton.answers.walkback import verdict_of
    from vireton.tuning.observations import WalkbackPoint

    log = tuned.question.log
    counting = log.rounds.counting
    if not counting or not counting[-1].seen(WalkbackPoint):
        return []
    return [said] if (said := verdict_of(log, display)) else []


def broadhead_words(tuned: "Tuned", display: Display) -> list[str]:
    """Where broadheads of the last round land beside field points, and what that says."""
    import numpy as np

    from vireton.tuning.observations import Group

    counting = tuned.question.log.rounds.counting
    groups = counting[-1].seen(Group) if counting else ()
    heads = [one for one in groups if one.arrow == "broadhead"]
    if not heads:
        return []
    if "broadhead" not in tuned.turn.belief.flown.shooter.shots:
        return [
            "The setup file has no [arrow.broadhead]: these broadheads are kept, and say nothing "
            "of the launch until it has"
        ]
    lines = []
    for head in heads:
        field = next(
            (g for g in groups if g.arrow == "fletched" and g.distance == head.distance), None
        )
        if field is None:
            continue
        apart = np.subtract(head.center, field.center)
        lines.append(_broadhead_line(tuned, head.distance, apart, display))
    return lines


def _broadhead_line(tuned: "Tuned", distance: float, apart: "FloatArray", display: Display) -> str:
    import numpy as np

    from vireton.tuning.evidence import BROADHEAD_ALONE

    belief, spread = tuned.turn.belief, tuned.turn.spread
    still = np.zeros(1, complex)
    off = belief.turned("broadhead", "target", distance, still) - belief.turned(
        "fletched", "target", distance, still
    )
    clean = (
        belief.flown.surface("broadhead", "target", distance)[0]
        - belief.flown.surface("fletched", "target", distance)[0]
    )
    drawn = off[:, 0] + clean
    error = float(np.hypot(1.4 * spread.at(distance), BROADHEAD_ALONE * distance))
    by_launch = np.array([np.mean(drawn.real), np.mean(drawn.imag)])
    wide = 2.0 * np.hypot([np.std(drawn.real), np.std(drawn.imag)], error)
    seen, said = (
        " and ".join(
            side(float(value), names, display) for value, names in zip(pair, BESIDE, strict=True)
        )
        for pair in (apart, by_launch)
    )
    what = f"Broadheads at {display.distance(distance)}: {seen} of field points"
    if np.all(np.abs(apart - by_launch) <= wide):
        if np.all(np.abs(apart) <= wide):
            return f"{what}. Aim and heads scatter that much anyway: leave the bow, sight them in"
        return (
            f"{what}; the launch as it is would do that ({said}). Bring the bare shafts in first: "
            "broadheads follow"
        )
    return (
        f"{what}; the launch alone would put them {said}. Check that each head spins true and "
        "sits straight before you move the bow"
    )


def several_words(tuned: "Tuned", display: Display) -> list[str]:
    """Where the last round changed several things: how much better one of them would be known."""
    import numpy as np

    from vireton.studies.rest_moves import TALKING_DISTANCE

    log = tuned.question.log
    counting = log.rounds.counting
    last, before = counting[-1], counting[-2] if len(counting) > 1 else None
    if before is None or not any(one.measures for one in counting[:-1]):
        return []
    moved = last.setting != before.setting
    if len(last.changes) + moved < 2 or last.puts_back is not None:
        return []
    tuner = tuned.question.tuner
    still = np.zeros(1, complex)

    def width(turn: "Turn") -> float:
        left = turn.belief.off_clean(still, TALKING_DISTANCE)[:, 0]
        return 2.0 * float(np.std(left))

    only = replace(last, changes=() if moved else last.changes[:1])
    alone = width(tuner.turn([*counting[:-1], only]))
    together = width(tuned.turn)
    name = "the rest move" if moved else "one of them"
    both, one = length(together, display), length(alone, display)
    said = (
        f"Round {last.number} changed {len(last.changes) + moved} things at once, so nobody can "
        "say which one did it"
    )
    if both == one:
        return [said]
    return [
        f"{said}. What is left at 20 yd is known to {both}; with {name} alone it would be {one}"
    ]
