"""Walk-backs whose truth is known: how often the verdict is right, and what its odds are worth.

    python validation/walkback.py [RUNS]

Every truth is a real flight of the *Mill bow* with its faults at work together, not a fitted line:
RUNS walk-backs (200) for each of straight, sight or center shot, cant, wind, launch and two of
them, the sizes drawn as :data:`vireton.tuning.walkback_lines.SPREADS` says. Three to six points
from 20 to 60 yd, of one to three arrows each, every arrow off by the shooter's scatter, which grows
with distance. The weighing knows the shooter as a log of a few groups does. A cause that moves the
arrow less than is worth correcting counts as straight, as it does in the answer. Calibration weighs
each truth as often as :data:`vireton.tuning.walkback_lines.AT_WORK` takes it to be. Where the
answer asks for another shot (but a bare shaft), it is shot, and what it gained is put beside what
was told.
"""

import sys
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

from vireton.flight.flight import Conditions, Wind
from vireton.rig import Rig, assemble_rig
from vireton.setup import load_setup
from vireton.tuning.observations import WalkbackPoint
from vireton.tuning.spread import Spread, assumed_spread
from vireton.tuning.walkback import OUTCOMES, WORTH, WalkbackCauses, outcomes, weigh_causes
from vireton.tuning.walkback_fit import Drawn
from vireton.tuning.walkback_lines import AT_WORK, CAUSES, SPREADS
from vireton.units.numbers import INCH, YARD

FARS = np.array([20.0, 30.0, 40.0, 50.0, 60.0, 25.0, 35.0, 45.0]) * YARD
#: What one arrow scatters at 20 yd, and how much is known of it: degrees of freedom.
SHOOTERS = {"1.5 in, three groups known": (1.5, 16.0), "1.5 in, nothing known": (1.5, 4.0),
            "0.5 in, three groups known": (0.5, 16.0)}  # fmt: skip


@dataclass(frozen=True)
class Truth:
    """Sizes by cause; where the arrow goes, (n,) m; what each cause does alone, (4, n) m."""

    sizes: dict[str, float]
    lines: np.ndarray
    parts: np.ndarray


def rig() -> Rig:
    """The *Mill bow* of the examples."""
    setup = load_setup(Path(__file__).parent.parent / "examples" / "mill_bow.toml")
    return assemble_rig(setup.bow, setup.parts, Conditions(setup.air), setup.sight)


def faulty(bow: Rig, sizes: dict[str, float]) -> Rig:
    """The bow with these faults at work, its sight as it was set without them."""
    aim, rate = bow.aim, bow.launch(bow.fletched).yaw_rate
    return replace(
        bow,
        aim=replace(aim, windage=aim.windage + sizes["windage"], cant=aim.cant + sizes["cant"]),
        conditions=replace(bow.conditions, wind=Wind(towards_right=sizes["wind"])),
        override=replace(bow.override, yaw_rate=rate + sizes["yaw_rate"]),
    )


def truth(bow: Rig, kind: str, away: np.ndarray, random: np.random.Generator) -> Truth:
    """One of a kind of :data:`vireton.tuning.walkback.OUTCOMES`."""
    names = {"nothing": [], "two": list(random.choice(CAUSES, 2, replace=False))}.get(kind, [kind])
    sizes = {name: SPREADS[name] * random.standard_normal() * (name in names) for name in CAUSES}
    none = dict.fromkeys(CAUSES, 0.0)
    plain = bow.shoot(bow.fletched, away).right

    def flown(some: dict[str, float]) -> np.ndarray:
        one = faulty(bow, some)
        return np.asarray(one.shoot(one.fletched, away).right - plain)

    parts = np.array([flown(none | {name: sizes[name]}) for name in CAUSES])
    return Truth(sizes, flown(sizes) + plain, parts)


def shot(true: Truth, away: np.ndarray, sd: float, random: np.random.Generator) -> list:
    """Points of one to three arrows; ``sd`` rad."""
    counts = random.integers(1, 4, away.size)
    reading = 0.1 * INCH * random.standard_normal(away.size)
    right = true.lines + sd * away / np.sqrt(counts) * random.standard_normal(away.size) + reading
    return [
        WalkbackPoint(float(d), float(r), int(c))
        for d, r, c in zip(away, right, counts, strict=True)
    ]


def label(true: Truth, found: WalkbackCauses, away: np.ndarray) -> str:
    """What the truth is, by the answer's own rule."""
    one = Drawn(np.append(true.parts, np.zeros((4, 1)), axis=1)[None], np.ones(1), np.ones(1))
    rows = list(range(away.size))
    which = outcomes(one, np.append(away, 0.0), rows, away.size - 1, WORTH * found.spread.sd)
    return OUTCOMES[int(which[0])]


@dataclass(frozen=True)
class Judged:
    """One walk-back: its kind, what it truly is, what was said, with what odds; whether the true
    line is inside of the band. ``followed``: where a next shot was told and then shot, its gain as
    told, and the odds of the truth before and after.
    """

    kind: str
    true: str
    verdict: str
    shares: dict[str, float]
    held: bool
    followed: tuple[float, float, float] | None


def judged(bow: Rig, kind: str, known: Spread, sd: float, random: np.random.Generator) -> Judged:
    """Shoot one and weigh it."""
    count = random.integers(3, 7)
    middle = random.choice(FARS[1:], count, replace=False)
    away = np.sort(np.unique([FARS[0], *middle]))
    true = truth(bow, kind, away, random)
    found = weigh_causes(bow, shot(true, away, sd, random), known)
    held = abs(true.lines[-1] - found.there) <= found.half_width
    name = label(true, found, away)
    followed = None
    if found.next is not None and found.next.shot.kind != "bare":
        more = again(bow, true, found.next.shot.points, sd, random)
        after = weigh_causes(bow, [*found.points, *more], known).probabilities[name]
        followed = (found.next.gain, found.probabilities[name], after)
    return Judged(kind, name, found.verdict, found.probabilities, bool(held), followed)


def again(
    bow: Rig, true: Truth, asked: tuple[WalkbackPoint, ...], sd: float, random: np.random.Generator
) -> list[WalkbackPoint]:
    """The points that were asked for, shot: without cant by a level, without wind on a calm day."""
    found = []
    for one in asked:
        sizes = true.sizes | {
            name: 0.0 for name, out in (("cant", one.level), ("wind", one.calm)) if out
        }
        shown = faulty(bow, sizes).shoot(bow.fletched, [one.distance]).right[0]
        off = np.sqrt(one.variance(sd)) * random.standard_normal()
        found.append(replace(one, right=float(shown + off)))
    return found


def table(runs: list[Judged]) -> str:
    """Verdicts by truth; odds against how often they were right; the band."""
    said = (*OUTCOMES, "cannot_tell", "none_fits")
    lines = ["truth     | " + " ".join(f"{one[:9]:>9}" for one in said) + " | single wrong | band"]
    for kind in OUTCOMES:
        own = [one for one in runs if one.kind == kind]
        counts = [sum(one.verdict == name for one in own) for name in said]
        wrong = sum(one.verdict in CAUSES and one.verdict != one.true for one in own)
        held = np.mean([one.held for one in own])
        cells = " ".join(f"{count:9d}" for count in counts)
        lines.append(f"{kind:9} | {cells} | {wrong:12d} | {held:.3f}")
    often = {"nothing": (1 - AT_WORK) ** 4, "two": 1 - (1 - AT_WORK) ** 4
             - 4 * AT_WORK * (1 - AT_WORK) ** 3}  # fmt: skip
    weight = {kind: often.get(kind, AT_WORK * (1 - AT_WORK) ** 3) for kind in OUTCOMES}
    lines.append("odds        | as often as taken: said, right (runs) | all kinds alike: right")
    for names, what in ((CAUSES, "one cause"), (("nothing",), "straight")):
        for low, high in ((0.0, 0.2), (0.2, 0.4), (0.4, 0.6), (0.6, 0.8), (0.8, 1.01)):
            cells = [
                (weight[one.kind], one.shares[name], one.true == name)
                for one in runs
                for name in names
                if low <= one.shares[name] < high
            ]
            if not cells:
                continue
            w, share, right = np.array(cells, float).T
            lines.append(
                f"{what:9} {low:.1f}-{min(high, 1.0):.1f} | said {np.average(share, weights=w):.2f}"
                f" right {np.average(right, weights=w):.2f} ({len(cells)}) | {right.mean():.2f}"
            )
    told = [(weight[one.kind], *one.followed) for one in runs if one.followed]
    if told:
        w, gain, before, after = np.array(told).T
        gains = np.average(np.array([gain, after - before]), axis=1, weights=w)
        lines.append(f"next shot, {w.size} shot: told {gains[0]:.3f}, gained {gains[1]:.3f}")
    return "\n".join(lines)


def main(count: int) -> None:
    """Print a table for each shooter."""
    bow = rig()
    for name, (inches, degrees) in SHOOTERS.items():
        random = np.random.default_rng(3)
        runs = []
        for kind in OUTCOMES:
            for _ in range(count):
                # what groups of this shooter would have told: the pooled spread, by chance off
                off = np.sqrt(random.chisquare(degrees) / degrees) if degrees > 4.0 else 1.0
                known = assumed_spread(float(inches * off) * INCH, 20.0 * YARD, degrees)
                sd = inches * INCH / (20.0 * YARD)
                runs.append(judged(bow, kind, known, sd, random))
        print(f"\n{name}\n{table(runs)}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
