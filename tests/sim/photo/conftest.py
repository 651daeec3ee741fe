"""Pretended pictures, smaller than a phone's to keep the tests quick."""

import numpy as np
import pytest

import camera
from vireton.paper import MARKS, PAPERS
from vireton.photo import gray_of, locate_sheet, read_picture

SIZE, FILL = (2000, 1500), (0.75, 0.9)


@pytest.fixture(scope="session")
def shots():
    """Ten hand-held pictures: (paper, holes (2, 2) in, the shot)."""
    made = []
    for number in range(10):
        rng = np.random.default_rng((7, number))
        paper = ("letter", "a4")[number % 2]
        width, height = PAPERS[paper]
        point = rng.uniform((1.5, 2.5), (width - 2.5, height - 3.5))
        holes = np.array([point, point + rng.uniform(-1.5, 1.5, 2)])
        made.append((paper, holes, camera.shoot(rng, holes, paper=paper, size=SIZE, fill=FILL)))
    return made


@pytest.fixture(scope="session")
def located(shots):
    """The sheets of those pictures."""
    return [locate_sheet(gray_of(read_picture(shot.file))) for _paper, _holes, shot in shots]


@pytest.fixture(scope="session")
def gray_shot():
    """Shoot a sheet, spoiled or not: (gray, shot)."""

    def shoot(seed, holes=((3.0, 5.0), (3.6, 5.8)), **how):
        rng = np.random.default_rng((8, seed))
        shot = camera.shoot(rng, np.array(holes), size=SIZE, fill=FILL, **how)
        return gray_of(read_picture(shot.file)), shot

    return shoot


@pytest.fixture(scope="session")
def without():
    """What spoils a sheet by paper laid over the mark of one corner."""

    def cover(paper, corner):
        x, y = MARKS[paper][corner]
        rows = slice(*(int((PAPERS[paper][1] - y + d) * camera.DOTS) for d in (-0.3, 0.3)))
        columns = slice(*(int((x + d) * camera.DOTS) for d in (-0.3, 0.3)))

        def spoil(light):
            light[rows, columns] = camera.PAPER_WHITE

        return spoil

    return cover
