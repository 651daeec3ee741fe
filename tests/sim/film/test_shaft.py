"""What a reading needs of an arrow."""

from dataclasses import replace

import pytest

from demo import MAPLE
from vireton.bow.arrow import assemble
from vireton.film.shaft import shaft_of
from vireton.launch.beam import free_frequencies


def test_an_arrow_with_a_spine() -> None:
    arrow = assemble(MAPLE)
    found = shaft_of(arrow)
    assert arrow.stiffness is not None
    assert found.rear == arrow.balance
    assert found.length == pytest.approx(arrow.total_length)
    assert found.frequency == pytest.approx(free_frequencies(arrow, arrow.stiffness, 1)[0])
    # the point is the heavier end, so it swings less, to the same side
    assert 0.2 < found.point_share < 0.9


def test_without_a_spine_the_frequency_is_open() -> None:
    arrow = replace(assemble(MAPLE), stiffness=None)
    assert shaft_of(arrow).frequency_error > 3.0 * shaft_of(assemble(MAPLE)).frequency_error
