"""How well a tear is read from pictures of a printed card: prints a table, asserts nothing.

Run:  python validation/photo.py [PICTURES] [SEED] [PROCESSES]

The pictures are pretended by ``tests/camera.py``: 12 megapixels, hand-held, of a tear card with
two holes at known inches. A tap misses a hole's middle by up to three pixels of the straightened
image, evenly over a disk.
"""

import sys
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent / "tests"))

import camera
from vireton.paper import PAPERS
from vireton.photo import (
    between_straightened,
    gray_of,
    locate_sheet,
    read_picture,
)
from vireton.units.problems import InputProblem

TAP = 3.0  # pixels
#: Standard deviation each way of a place evenly spread over a disk: half its radius.
TAP_ERROR = TAP / 2.0
PER_INCH = (100, 150, 200)


@dataclass(frozen=True)
class Read:
    """What one picture gave; inches."""

    problem: str
    plain: np.ndarray  # (2,) error of the tear with perfect taps
    plain_error: np.ndarray  # (2,) as stated
    place: np.ndarray  # (2,) error of the point hole's place, and
    place_error: np.ndarray  # (2,) as stated
    tapped: dict[int, tuple[np.ndarray, np.ndarray]]  # pixels per inch: error, as stated
    lens: float  # fitted minus true
    misfit: float


def one(seed: int, number: int) -> Read:
    """Shoot a picture and read it."""
    rng = np.random.default_rng((seed, number))
    paper = ("letter", "a4")[number % 2]
    width, height = PAPERS[paper]
    point = rng.uniform((1.5, 2.5), (width - 2.5, height - 3.5))
    tail = point + rng.uniform(-1.5, 1.5, 2)
    holes = np.array([point, tail])
    shot = camera.shoot(rng, holes, paper=paper)
    none = np.full(2, np.nan)
    try:
        sheet = locate_sheet(gray_of(read_picture(shot.file)))
    except InputProblem as problem:
        return Read(str(problem), none, none, none, none, {}, np.nan, np.nan)
    if sheet.paper != paper:
        return Read(f"taken for {sheet.paper}", none, none, none, none, {}, np.nan, np.nan)
    seen = shot.pixels(holes)
    found, stated = sheet.plane.read(seen, 0.0), sheet.plane.between(seen[:1], seen[1:], 0.0)
    tapped = {}
    for per_inch in PER_INCH:
        far, angle = TAP * np.sqrt(rng.uniform(0, 1, 2)), rng.uniform(0, 2 * np.pi, 2)
        miss = np.column_stack([far * np.cos(angle), far * np.sin(angle)])
        up = [found.inches[:, 0], PAPERS[paper][1] - found.inches[:, 1]]
        taps = np.column_stack(up) * per_inch - 0.5 + miss
        tear = between_straightened(sheet, taps[:1], taps[1:], per_inch, TAP_ERROR)
        tapped[per_inch] = (tear.inches[0] - (tail - point), tear.error[0])
    return Read(
        "",
        stated.inches[0] - (tail - point),
        stated.error[0],
        found.inches[0] - point,
        found.error[0],
        tapped,
        sheet.plane.lens - shot.lens,
        sheet.plane.misfit,
    )


def row(name: str, off: np.ndarray, stated: np.ndarray, count: int) -> str:
    """One row: within 1/32 in both ways, of all pictures; sizes; how often the error held."""
    worst = np.abs(off).max(axis=1)
    within = (worst < 1.0 / 32.0).sum() / count
    held = (np.abs(off) < 2.0 * stated).mean()
    return (
        f"| {name} | {100 * within:.1f} % | {np.median(worst):.4f} | {np.percentile(worst, 95):.4f}"
        f" | {worst.max():.4f} | {np.median(stated):.4f} | {100 * held:.1f} % |"
    )


def main(count: int = 200, seed: int = 1, processes: int = 1) -> None:
    with ProcessPoolExecutor(processes) as pool:
        reads = list(pool.map(partial(one, seed), range(count)))
    found = [read for read in reads if not read.problem]
    print(f"{len(found)} of {count} pictures read, seed {seed}")
    for number, read in enumerate(reads):
        if read.problem:
            print(f"  picture {number}: {read.problem}")
    print("| errors in inches | within 1/32 | median | 95 % | worst | stated | within 2 stated |")
    print("|---|---|---|---|---|---|---|")
    for per_inch in PER_INCH:
        off, stated = (np.array([read.tapped[per_inch][i] for read in found]) for i in (0, 1))
        print(row(f"tear, taps within 3 px at {per_inch} px per inch", off, stated, count))
    for name, what in (("tear, perfect taps", "plain"), ("place, perfect taps", "place")):
        off, stated = (
            np.array([getattr(read, w) for read in found]) for w in (what, f"{what}_error")
        )
        print(row(name, off, stated, count))
    misfit = np.array([read.misfit for read in found])
    lens = np.array([read.lens for read in found])
    print(f"lens coefficient off by {lens.std():.4f} (standard deviation), true ones up to 0.02")
    print(f"misfit {np.median(misfit):.2f} in the middle, {misfit.max():.2f} at most")


if __name__ == "__main__":
    main(*(int(word) for word in sys.argv[1:]))
