"""What measuring at the bench saves: bows of the second launch model, tuned with readings of them.

Run:  python validation/tuning/measured.py play FOLDER --bows 200
      python validation/tuning/measured.py page FOLDER

Each bow is played as often as there are rows in WAYS, on the same truth. Its readings are made up
from what the truth is made of, with the errors of the instruments; then the library's adviser tunes
it with the setup file that holds them. `page` writes MEASURED.md from what was played, and what
each measurement buys on the demo bows.
"""

import argparse
import csv
import sys
from collections.abc import Callable, Sequence
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Any

import numpy as np

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parents[1] / "tests")]

from play import play  # noqa: E402
from protocol import INCH  # noqa: E402
from scoring import Outcome, quantile  # noqa: E402
from strategies.adviser import Adviser  # noqa: E402
from truths import bent  # noqa: E402
from truths.rig import Rig, read  # noqa: E402

from vireton.flight.flight import Conditions  # noqa: E402
from vireton.rig import assemble_rig  # noqa: E402
from vireton.setup import parse_setup  # noqa: E402
from vireton.tuning.loop import Tuner  # noqa: E402

EXAMPLES = HERE.parents[1] / "examples"
FIRST_SEED = 40_000
POUND = 4.4482216152605
WEIGHT = 5.0 * POUND

Random = np.random.Generator


def push(bow: bent.Causes, rig: Rig, random: Random) -> list[str]:
    """Caliper and dial at their errors; the draw force begins as a straight line."""
    cams = WEIGHT / bow.give_stiffness
    string = WEIGHT * bow.rise * rig.stroke / rig.draw_weight
    dial, caliper = random.normal(0.0, (0.002 * INCH, 0.01 * INCH))
    nock = cams + string + caliper
    return [
        'push.weight = "5 lbf"',
        f'push.nock = "{nock / INCH:.3f} in"',
        f'push.cams = "{max(0.0, cams + dial) / INCH:.4f} in"',
    ]


def string(bow: bent.Causes, rig: Rig, random: Random) -> list[str]:
    """What counts as free is a quarter of a gram off (SD)."""
    return [f'string_mass = "{1e3 * bow.string_mass + random.normal(0.0, 0.25):.2f} g"']


def lets_go(bow: bent.Causes, rig: Rig, random: Random) -> list[str]:
    """Within five points."""
    read_off = min(1.0, max(0.06, bow.lets_go + random.normal(0.0, 0.025)))
    return [f'lets_go = "{100.0 * read_off:.1f} %"']


def spine(bow: bent.Causes, rig: Rig, random: Random) -> list[str]:
    """The shaft on the standard bench, or on a shorter one; what it is in the shot is told."""
    span = min(28.0, 0.95 * rig.length / INCH)
    stiffness = rig.stiffness * bow.shaft_stiffness
    bends = 1.94 * POUND * (span * INCH) ** 3 / (48.0 * stiffness) / INCH
    seen = bends * (1.0 + random.normal(0.0, 0.012)) + random.normal(0.0, 0.0015)
    return [
        f'own_spine.deflection = "{seen:.4f} in"',
        f'own_spine.span = "{span:.2f} in"',
    ]


Reads = Callable[[bent.Causes, Rig, Random], list[str]]
#: What is measured, by name.
WAYS: dict[str, tuple[Reads, ...]] = {
    "nothing": (),
    "push test": (push,),
    "push test, string, let-go, spine": (push, string, lets_go, spine),
}


def measured_text(setup: Path, way: str, seed: int) -> str:
    """The setup file with the readings of this bow."""
    rig = read(setup)
    bow = bent.Causes.draw(np.random.default_rng([seed, 1]), rig)
    text = setup.read_text(encoding="utf-8")
    lines: list[str] = []
    for one in WAYS[way]:
        lines += one(bow, rig, np.random.default_rng([seed, *map(ord, one.__name__)]))
    return text + ("\n[measured]\n" + "\n".join(lines) + "\n" if lines else "")


class Measured(Adviser):
    """The adviser with the setup file of a measured bow; it is not offered anything to measure."""

    def __init__(self, text: str) -> None:
        setup = parse_setup(text)
        self.notes = setup.odd
        rig = assemble_rig(
            setup.bow,
            setup.parts,
            Conditions(setup.air),
            setup.sight,
            experience=setup.experience,
        )
        made = Tuner.of(rig, setup.uncertainty, setup.rest_step)
        self.tuner = replace(made, prior=replace(made.prior, bench=()))

    def begin(self, setup_path: Path) -> None:
        """The bow is known already."""


@dataclass
class Row:
    """One bow, one way."""

    rig: str
    seed: int
    way: str
    arrows: int
    moves: int
    worse: int
    left: float
    ended: str
    held: int
    said: int
    odd: int


def one_bow(setup: Path, way: str, seed: int) -> Row:
    """Played to its end."""
    strategy = Measured(measured_text(setup, way, seed))
    outcome = Outcome("bent", way, setup.stem, seed)
    claims = play(bent.make(setup, seed), strategy, setup, outcome)
    intervals = [one for one in claims if one.what == "interval" and one.chance > 0.9]
    return Row(
        setup.stem,
        seed,
        way,
        outcome.arrows,
        outcome.moves,
        outcome.worse,
        outcome.left,
        outcome.ended,
        sum(one.held for one in intervals),
        len(intervals),
        len(strategy.notes),
    )


def _file(folder: Path) -> Path:
    return folder / "measured.csv"


def read_rows(folder: Path) -> list[Row]:
    """What was played into a folder."""
    if not _file(folder).exists():
        return []
    types: dict[str, Any] = {one.name: one.type for one in fields(Row)}
    with _file(folder).open(newline="", encoding="utf-8") as file:
        return [
            Row(**{key: types[key](value) for key, value in row.items()})
            for row in csv.DictReader(file)
        ]


def play_all(folder: Path, setups: Sequence[Path], seeds: Sequence[int]) -> None:
    """Every bow in every way; what is there is not played again."""
    folder.mkdir(parents=True, exist_ok=True)
    known = {(one.rig, one.seed, one.way) for one in read_rows(folder)}
    for seed in seeds:
        for setup in setups:
            for way in WAYS:
                if (setup.stem, seed, way) in known:
                    continue
                row = one_bow(setup, way, seed)
                fresh = not _file(folder).exists()
                with _file(folder).open("a", newline="", encoding="utf-8") as file:
                    writer = csv.DictWriter(file, [one.name for one in fields(Row)])
                    if fresh:
                        writer.writeheader()
                    writer.writerow(asdict(row))


def table(rows: Sequence[Row]) -> list[str]:
    """One line a way, over bows that were played in all of them."""
    whole = [
        (rig, seed)
        for rig, seed in dict.fromkeys((one.rig, one.seed) for one in rows)
        if {one.way for one in rows if (one.rig, one.seed) == (rig, seed)} == set(WAYS)
    ]
    lines = [
        "| bow | measured | bows | arrows, mean / median / 90th | more than unmeasured, mean ± "
        "standard error | moves | made it worse | "
        "within 0.75 in | left, median in | 95 % intervals that hold | contradictions told |",
        "|---|---|---|---|---|---|---|---|---|---|---|",
    ]
    for rig in dict.fromkeys(rig for rig, _ in whole):
        for way in WAYS:
            own = [o for o in rows if (o.way, o.rig) == (way, rig) and (rig, o.seed) in whole]
            arrows = [o.arrows for o in own]
            plain = {o.seed: o.arrows for o in rows if (o.way, o.rig) == ("nothing", rig)}
            more = np.array([o.arrows - plain[o.seed] for o in own])
            error = np.std(more) / np.sqrt(len(more))
            moves = sum(o.moves for o in own)
            held = sum(o.held for o in own) / max(1, sum(o.said for o in own))
            lines.append(
                f"| {rig.removesuffix('_bow').capitalize()} bow | {way} | {len(own)} | "
                f"{np.mean(arrows):.1f} / {quantile(arrows, 0.5):.0f} / "
                f"{quantile(arrows, 0.9):.0f} | {np.mean(more):+.1f} ± {error:.1f} | "
                f"{np.mean([o.moves for o in own]):.1f} | "
                f"{100.0 * sum(o.worse for o in own) / max(1, moves):.0f} % | "
                f"{100.0 * np.mean([o.left < 0.75 for o in own]):.0f} % | "
                f"{np.median([o.left for o in own]):.2f} | "
                f"{100.0 * held:.0f} % | "
                f"{sum(o.odd > 0 for o in own)} |"
            )
    return lines


def main() -> None:
    """Play, or write the page."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("what", choices=("play", "page"))
    parser.add_argument("folder", type=Path)
    parser.add_argument("--bows", type=int, default=200)
    parser.add_argument("--first-seed", type=int, default=FIRST_SEED)
    parser.add_argument("--setups", nargs="+", type=Path, default=[EXAMPLES / "mill_bow.toml"])
    given = parser.parse_args()
    if given.what == "play":
        seeds = range(given.first_seed, given.first_seed + given.bows)
        play_all(given.folder, given.setups, seeds)
    else:
        from measured_page import page  # noqa: PLC0415

        text = page(table(read_rows(given.folder)))
        (HERE / "MEASURED.md").write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
