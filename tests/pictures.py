"""Whether two pictures show the same, whatever the fonts and the number of colors."""

from pathlib import Path

import matplotlib
import numpy as np
import pytest
from PIL import Image

#: What drew the pictures of README and lessons when they were last refreshed.
DRAWN_WITH = "3.11."

#: Coarse enough for another rendering of the same text, fine enough for a curve that moved.
_CELLS = (75, 96)


def look_alike(one: Path, other: Path) -> bool:
    """Gray in coarse cells: nearly everywhere the same.

    Another seed of the bands moves 37 of the 7,200 cells by more than 24 of 255 in the README's
    picture; fewer colors and pixels in a lesson's move next to none.
    """
    gray = [
        np.asarray(Image.open(file).convert("L").resize(_CELLS, Image.Resampling.BOX), float)
        for file in (one, other)
    ]
    apart = np.abs(gray[0] - gray[1])
    return int((apart > 24.0).sum()) < 15 and float(apart.mean()) < 2.0


def demand_their_renderer() -> None:
    """Skip where another matplotlib draws than drew them: its text stands a little elsewhere."""
    if not matplotlib.__version__.startswith(DRAWN_WITH):
        pytest.skip(f"drawn with matplotlib {DRAWN_WITH}; here is {matplotlib.__version__}")
