"""Sizes of paper and the marks on it."""

import numpy as np
import pytest

from vireton.paper import (
    CORNERS,
    FILLED_HALF,
    HALF_FILLED,
    MARGIN,
    MARK_FRAME,
    MARK_QUIET,
    MARK_SIDE,
    MARKS,
    PAPERS,
    mark_outlines,
)


def test_papers_are_as_large_as_the_standards_say():
    # ANSI/ASME Y14.1 size A; ISO 216:2007 A4 (both from memory)
    assert PAPERS["letter"] == (8.5, 11.0)
    assert np.array(PAPERS["a4"]) * 25.4 == pytest.approx((210.0, 297.0))


@pytest.mark.parametrize("paper", PAPERS)
def test_marks_lie_in_the_corners_that_they_are_named_for(paper):
    width, height = PAPERS[paper]
    near = MARGIN + MARK_SIDE / 2.0
    for corner in CORNERS:
        x, y = MARKS[paper][corner]
        assert x == pytest.approx(near if "left" in corner else width - near)
        assert y == pytest.approx(near if "lower" in corner else height - near)
    assert MARK_QUIET > MARK_FRAME  # white around a mark is wider than its frame


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("corner", CORNERS)
def test_outlines_are_squares_around_the_middle_but_for_the_filled_half(paper, corner):
    outer, opening = (np.array(one) for one in mark_outlines(paper, corner))
    middle = np.array(MARKS[paper][corner])
    assert outer.mean(axis=0) == pytest.approx(middle)
    assert np.ptp(outer, axis=0) == pytest.approx((MARK_SIDE, MARK_SIDE))
    free = MARK_SIDE - 2.0 * MARK_FRAME
    if corner != HALF_FILLED:
        assert opening.mean(axis=0) == pytest.approx(middle)
        assert np.ptp(opening, axis=0) == pytest.approx((free, free))
    else:
        below = FILLED_HALF[paper] == "upper"
        shift = (-free if below else free) / 4.0
        assert opening.mean(axis=0) == pytest.approx((middle[0], middle[1] + shift))
        assert np.ptp(opening, axis=0) == pytest.approx((free, free / 2.0))


def test_the_two_papers_can_be_told():
    assert set(FILLED_HALF) == set(PAPERS)
    assert len(set(FILLED_HALF.values())) == len(PAPERS)
