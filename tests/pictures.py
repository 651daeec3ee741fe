"""Whether two pictures show the same, whatever the fonts and the number of colours."""

from pathlib import Path

import matplotlib
import numpy as np
import pytest
from PIL import Image

#: Coarse enough for another rendering of the same text, fine enough for a curve that moved.
_CELLS = (75, 96)


def look_alike(one: Path, other: Path) -> bool:
    """Grey in coarse cells: nearly everywhere the same.

    Another seed of the bands moves 37 of the 7,200 cells by more than 24 of 255 in the README's
    picture; fewer colours and pixels in a lesson's move next to none.
    """
    grey = [
        np.asarray(Image.open(file).convert("L").resize(_CELLS, Image.Resampling.BOX), float)
        for file in (one, other)
    ]
    apart = np.abs(grey[0] - grey[1])
    return int((apart > 24.0).sum()) < 15 and float(apart.mean()) < 2.0


def demand_the_renderer_of(picture: Path) -> None:
    """Skip where another matplotlib drew the picture: its text would stand elsewhere."""
    drawn_by = str(Image.open(picture).info.get("Software", ""))
    ours = ".".join(matplotlib.__version__.split(".")[:2])
    if f"version{ours}." not in drawn_by:
        pytest.skip(
            f"the picture is by {drawn_by.split(',', maxsplit=1)[0]}, here is matplotlib {ours}"
        )
