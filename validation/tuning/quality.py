"""How good the tuner is: calibration of its intervals, and whole tunings played to the end.

Run:  python validation/tuning/quality.py [SEEDS]

Bows, launch errors, shooters and shots are invented. For the calibration they are drawn from the
prior itself; for the tunings, and for two more calibrations that show what misfit costs, from the
launch model (bending, and rigid, which the prior is not made from), with the nose's answer reversed
in a quarter of the bows. Writes RESULTS.md and ranks.png beside itself; asserts nothing. It
is longer than a module should be: cut in two, both halves would need its bows and its rules.
"""

import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from matplotlib.figure import Figure

from vireton.bow.setting import BowSetting
from vireton.flight.flight import Conditions
from vireton.kernel.arrays import FloatArray
from vireton.plots import save
from vireton.plots.style import INK, PAGE_WIDTH, foot, our_look
from vireton.rig import Rig, assemble_rig, vary
from vireton.setup import load_setup
from vireton.tuning.advice import separation_samples
from vireton.tuning.fit import predict
from vireton.tuning.loop import Tuner
from vireton.tuning.observations import ArrowKind, Group, Observation, Tear, group_of_shots
from vireton.tuning.observations.group import CENTER_ERROR, MODEL_ERROR
from vireton.tuning.observations.tear import TEAR_ERROR
from vireton.tuning.prior import ANGLE_SPREAD, PER_AXIS, RATE_SPREAD, SIZE, gains_of
from vireton.tuning.response import Planes, Shooter
from vireton.tuning.rounds import Round
from vireton.tuning.spread import UNKNOWN_SHOOTER

HERE = Path(__file__).parent
EXAMPLES = HERE.parents[1] / "examples"
INCH, YARD = 0.0254, 0.9144
STEP = INCH / 32.0
AT, PAPER = 20.0 * YARD, 6.0 * 0.3048
KINDS: tuple[ArrowKind, ...] = ("fletched", "bare")
MOST_ROUNDS, SHOTS = 12, 3
TRUE_SIGHT = 0.003  # rad: how far off the sights are set (invented)
#: m of separation at 20 yd a step by which the proportional rule goes (invented).
RULE_SLOPE = 0.45 * INCH


def setting_of(rest: FloatArray) -> BowSetting:
    """The setting with the rest at (2,) m."""
    return BowSetting(float(rest[0]), float(rest[1]))


@dataclass
class Bow:
    """One true bow: its unknowns (13,), its arrows, its shooter's scatter (rad), its own chance.

    ``misread``: group centers are off by what the inference allows for.
    """

    theta: FloatArray
    shooter: Shooter
    scatter: float
    random: np.random.Generator
    misread: bool = False

    def look(self, number: int, rest: FloatArray, shots: int, *, paper: bool) -> Round:
        """Shoot a round of fletched and bare arrows and note it as a technician would."""
        seen: list[Observation] = []
        for kind in KINDS:
            papers = (PAPER,) if paper and kind == "bare" else ()
            true, _ = predict(
                self.shooter, Planes(kind, (AT,), papers), self.theta, setting_of(rest)
            )
            spots = true[0] + self.scatter * AT * self.random.normal(size=(shots, 2))
            if self.misread:
                spots += np.hypot(CENTER_ERROR, MODEL_ERROR * AT) * self.random.normal(size=2)
            seen.append(group_of_shots(kind, AT, tuple((float(x), float(y)) for x, y in spots)))
            if papers:
                read = true[1] + TEAR_ERROR * self.random.normal(size=2)
                seen.append(Tear(kind, PAPER, float(read[0]), float(read[1])))
        return Round(number, setting_of(rest), tuple(seen))

    def separation(self, rest: FloatArray) -> FloatArray:
        """True bare minus fletched at 20 yd, m."""
        fletched, bare = (
            predict(self.shooter, Planes(kind, (AT,)), self.theta, setting_of(rest))[0][0]
            for kind in KINDS
        )
        return np.asarray(bare - fletched)


def bow_of_prior(tuner: Tuner, seed: int) -> Bow:
    """A bow drawn from the very prior: unknowns from its components, scatter from its shooter."""
    random = np.random.default_rng(seed)
    components = tuner.prior.components
    drawn = components[int(random.choice(2, p=[one.weight for one in components]))]
    theta = random.multivariate_normal(drawn.mean, drawn.covariance, method="eigh")
    known = UNKNOWN_SHOOTER
    scatter = known.sd * float(np.sqrt(known.degrees / random.chisquare(known.degrees)))
    return Bow(theta, tuner.shooter, scatter, random, misread=True)


def bow_of_model(rig: Rig, ranges: dict[str, tuple[float, float]], seed: int, truth: str) -> Bow:
    """A plausible bow of the launch model, its nose's sideways answer reversed in a quarter."""
    random = np.random.default_rng(seed)
    values = {name: float(random.uniform(low, high)) for name, (low, high) in ranges.items()}
    source = vary(rig, values)
    if truth == "rigid":
        source = replace(source, bow=replace(source.bow, launch_model="rigid"))
    gains = gains_of(source)
    n = len(PER_AXIS)
    theta = np.zeros(SIZE)
    for axis in range(2):
        theta[axis * n : axis * n + 3] = random.normal(size=3) * (
            RATE_SPREAD,
            ANGLE_SPREAD,
            TRUE_SIGHT,
        )
        theta[axis * n + 3 : axis * n + 6] = gains[axis]
    if random.random() < 0.25:
        theta[3:5] *= -1.0
    scatter = float(random.uniform(0.3, 1.0)) * INCH / AT
    return Bow(theta, Shooter.of(source), scatter, random)


def calibration(tuner: Tuner, bows: list[Bow], name: str) -> tuple[FloatArray, str]:
    """Ranks (0 to 1) of what is true among the posterior's draws, and a row of the table.

    Of four numbers a bow: yaw and pitch rate at the first setting, the sideways gain, and the
    sideways separation at 20 yd where the rest stands after three rounds.
    """
    ranks = []
    sides = 0
    rests = (np.zeros(2), np.array([2 * STEP, 0.0]), np.array([2 * STEP, 2 * STEP]))
    n = len(PER_AXIS)
    for seed, bow in enumerate(bows):
        rounds = [bow.look(i + 1, rest, 4, paper=i == 0) for i, rest in enumerate(rests)]
        posterior = tuner.turn(rounds).posterior
        samples = posterior.samples(1000, seed)
        last = setting_of(rests[-1])
        apart, _ = separation_samples(tuner.shooter, posterior, last, count=1000)
        pairs = [(samples[:, k], bow.theta[k]) for k in (0, n, 3)]
        pairs.append((apart[:, 0], bow.separation(rests[-1])[0]))
        ranks += [float(np.mean(drawn < true)) for drawn, true in pairs]
        sides += (posterior.probability_right > 0.5) == (bow.theta[3] > 0.0)
    off = np.abs(np.array(ranks) - 0.5)
    row = (
        f"| {name} | {len(bows)} | {np.mean(off <= 0.25):.1%} | {np.mean(off <= 0.475):.1%} | "
        f"{sides / len(bows):.0%} |"
    )
    print(row, flush=True)
    return np.array(ranks), row


def draw_ranks(ranks: FloatArray, bows: int) -> None:
    """The rank histogram: flat where the posterior is calibrated."""
    with our_look():
        figure = Figure(figsize=(PAGE_WIDTH, 3.4))
        axes = figure.add_axes((0.1, 0.25, 0.86, 0.68))
        bins = 20
        axes.hist(ranks, bins=bins, range=(0.0, 1.0), color="#c9d0d4", edgecolor=INK, hatch="//")
        level = ranks.size / bins
        spread = 1.96 * np.sqrt(ranks.size / bins * (1.0 - 1.0 / bins))
        axes.axhline(level, color=INK)
        for edge in (level - spread, level + spread):
            axes.axhline(edge, color=INK, linestyle=(0, (4, 2)))
        axes.set_xlabel("share of the posterior's draws below the truth")
        axes.set_ylabel("count")
        foot(
            figure,
            [
                f"{bows} bows drawn from the prior, four numbers each. Flat: the intervals "
                "hold as often as they say. Dashed: 95 % of the bars of a flat one."
            ],
        )
    save(figure, HERE / "ranks.png")  # fmt: skip


Strategy = Callable[[list[Round]], tuple[str, FloatArray]]


def by_vireton(tuner: Tuner) -> Strategy:
    """Follow the advice."""

    def play(rounds: list[Round]) -> tuple[str, FloatArray]:
        advice = tuner.turn(rounds).advice
        return advice.verdict, np.array(advice.move.rest)

    return play


def by_rule(sideways: float, size: float | None) -> Strategy:
    """A rule of thumb on the last round: rest down for a high bare shaft, ``sideways`` times its
    side for a sideways one; the larger first. ``size`` None: one step; else m of rest per m of
    separation. Stops inside half an inch.
    """

    def play(rounds: list[Round]) -> tuple[str, FloatArray]:
        groups = {g.arrow: np.array(g.center) for g in rounds[-1].seen(Group)}
        apart = groups["bare"] - groups["fletched"]
        if not np.all(np.isfinite(apart)):
            return "lost", np.zeros(2)  # moved so far that the arrow tumbles
        if np.linalg.norm(apart) < 0.5 * INCH:
            return "stop", np.zeros(2)
        axis = int(np.argmax(np.abs(apart)))
        steps = 1.0 if size is None else max(1.0, round(abs(apart[axis]) * size / STEP))
        move = np.zeros(2)
        move[axis] = (sideways, -1.0)[axis] * np.sign(apart[axis]) * steps * STEP
        return "move", move

    return play


def play(bow: Bow, strategy: Strategy) -> dict[str, float]:
    """Tune this bow to the end; what came of it."""
    rest = np.zeros(2)
    rounds: list[Round] = []
    wrong = moves = 0
    verdict = ""
    for number in range(1, MOST_ROUNDS + 1):
        rounds.append(bow.look(number, rest, SHOTS, paper=number == 1))
        verdict, move = strategy(rounds)
        if verdict in {"stop", "lost"}:
            break
        if verdict == "move":
            before = np.linalg.norm(bow.separation(rest))
            rest = rest + move
            moves += 1
            # nan: it tumbles, which is worse than anything
            wrong += int(not np.linalg.norm(bow.separation(rest)) <= before)
    left = float(np.nan_to_num(np.linalg.norm(bow.separation(rest)) / INCH, nan=np.inf))
    return {
        "left": left,
        "done": float(left < 0.75),
        "rounds": float(len(rounds)),
        "arrows": float(2 * SHOTS * len(rounds)),
        "moves": float(moves),
        "wrong": float(wrong),
        "stopped": float(verdict == "stop"),
        "stop_wrong": float(verdict == "stop" and left > 1.0),
    }


def rows_of(name: str, results: list[dict[str, float]], sides: list[bool]) -> list[str]:
    """Rows of the table: all bows, those whose nose goes with the rest, those against."""
    rows = []
    for side, label in ((None, f"**{name}**"), (True, "nose with the rest"), (False, "against")):
        some = [r for r, s in zip(results, sides, strict=True) if side is None or s == side]
        of = {key: np.array([r[key] for r in some]) for key in some[0]}
        cells = (
            label,
            f"{of['done'].mean():.0%}",
            f"{np.median(of['left']):.2f}",
            f"{np.quantile(of['left'], 0.9):.1f}",
            f"{np.median(of['rounds']):.0f}",
            f"{np.median(of['arrows']):.0f}",
            f"{of['wrong'].sum() / max(of['moves'].sum(), 1):.0%}",
            f"{of['stop_wrong'].sum() / max(of['stopped'].sum(), 1):.0%}",
        )
        rows.append(f"| {' | '.join(cells)} |")
    print("\n".join(rows), flush=True)
    return rows


def bench(file: str) -> tuple[Rig, dict[str, tuple[float, float]], Tuner]:
    """Rig, plausible ranges and tuner of a demo setup."""
    setup = load_setup(EXAMPLES / file)
    rig = assemble_rig(setup.bow, setup.parts, Conditions(setup.air), setup.sight)
    return rig, setup.uncertainty, Tuner.of(rig, setup.uncertainty, STEP)


def head_of(*names: str) -> list[str]:
    """The two head lines of a Markdown table."""
    return [f"| {' | '.join(names)} |", f"|{'---|' * len(names)}"]


def main() -> None:
    """Both tables, to the screen and to RESULTS.md."""
    seeds = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    started = time.perf_counter()
    rig, ranges, tuner = bench("mill_bow.toml")
    about = __doc__.split("\n\n")[2].replace("\n", " ")
    lines = ["# How good the tuner is", "", about, "", "## Calibration", ""]
    lines += head_of(
        "truth", "bows", "in the 50 % interval", "in the 95 %", "side of the gain right"
    )
    ranks = []
    for name, one in (("Mill bow", tuner), ("Orchard bow", bench("orchard_bow.toml")[2])):
        drawn = [bow_of_prior(one, 50_000 + k) for k in range(seeds)]
        found, row = calibration(one, drawn, f"prior, {name}")
        ranks.append(found)
        lines.append(row)
    draw_ranks(np.concatenate(ranks), 2 * seeds)
    for truth in ("flexible", "rigid"):
        bows = [bow_of_model(rig, ranges, 10_000 + k, truth) for k in range(seeds)]
        lines.append(calibration(tuner, bows, f"{truth} launch model")[1])
    lines += ["", "![rank histogram](ranks.png)", "", "## Tunings played to the end", ""]
    lines.append(
        "Three fletched and three bare arrows a round at 20 yd, a bare tear in the first; at most "
        f"{MOST_ROUNDS} rounds. Done: truly within 0.75 in.\n"
    )
    lines += head_of(
        "",
        "done",
        "left, in (median)",
        "left, in (worst tenth)",
        "rounds",
        "arrows",
        "moves that made it worse",
        "stops with over 1 in left",
    )
    strategies = {
        "Vireton": by_vireton(tuner),
        "1/32 in by the direction rule": by_rule(1.0, None),
        "1/32 in by its reverse": by_rule(-1.0, None),
        "in proportion, known sign": by_rule(-1.0, STEP / RULE_SLOPE),
    }
    for name, strategy in strategies.items():
        bows = [bow_of_model(rig, ranges, k, "flexible") for k in range(seeds)]
        results = [play(bow, strategy) for bow in bows]
        lines += rows_of(name, results, [bool(bow.theta[3] > 0.0) for bow in bows])
    (HERE / "RESULTS.md").write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"{time.perf_counter() - started:.0f} s")


if __name__ == "__main__":
    main()
