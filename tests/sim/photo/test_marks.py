"""Which mark is which, and what to say when one is not there."""

import numpy as np
import pytest

import camera
from vireton.paper import CORNERS, HALF_FILLED, MARKS, PAPERS
from vireton.photo.marks import find_corner_marks
from vireton.photo.straighten import gray_of, read_picture
from vireton.units.problems import InputProblem


def test_all_four_are_found_at_their_places_with_honest_errors(shots):
    off, stated = [], []
    for paper, _holes, shot in shots:
        found = find_corner_marks(gray_of(read_picture(shot.file)))
        assert found.paper == paper
        assert found.missing == ()
        assert found.problem == ""
        for corner in CORNERS:
            truth = shot.pixels(np.array([MARKS[paper][corner]]))[0]
            off.append(found.marks[corner].center - truth)
            stated.append(found.marks[corner].error)
    # the pictures are small and some strongly blurred
    assert np.abs(off).max() < 0.6
    assert np.median(np.abs(off)) < 2.0 * np.median(stated) < 0.15


@pytest.mark.parametrize("quarter", range(4))
def test_a_turned_picture_has_the_same_marks(shots, quarter):
    paper, _holes, shot = shots[0]
    gray = gray_of(read_picture(shot.file))
    found = find_corner_marks(np.ascontiguousarray(np.rot90(gray, quarter)))
    upright = find_corner_marks(gray)
    assert found.paper == paper
    for corner in CORNERS:
        column, row = found.marks[corner].center
        for turn in reversed(range(quarter)):  # back, a quarter clockwise each
            column, row = gray.shape[0 if turn % 2 else 1] - 1 - row, column
        assert np.abs(upright.marks[corner].center - (column, row)).max() < 0.1


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("corner", CORNERS)
def test_a_covered_mark_is_named(gray_shot, without, paper, corner):
    gray, shot = gray_shot(CORNERS.index(corner), paper=paper, spoil=without(paper, corner))
    found = find_corner_marks(gray)
    assert found.missing == (corner,)
    assert found.paper == (None if corner == HALF_FILLED else paper)
    for said in ("only three", f"the {corner} one is not", "take it again", "or tap"):
        assert said in found.problem
    for there, mark in found.marks.items():
        truth = shot.pixels(np.array([MARKS[paper][there]]))[0]
        assert mark.center == pytest.approx(truth, abs=0.5)


def test_two_covered_marks_are_too_many(gray_shot, without):
    def spoil(light):
        without("letter", "upper right")(light)
        without("letter", "lower left")(light)

    gray, _shot = gray_shot(5, spoil=spoil)
    with pytest.raises(InputProblem, match=r"no printed sheet.*take it again.*tap"):
        find_corner_marks(gray)


@pytest.mark.parametrize("seed", range(3))
def test_a_bench_without_a_sheet(seed):
    rng = np.random.default_rng((12, seed))
    file = camera.developed(rng, camera.clutter(rng, (1600, 1200)))
    with pytest.raises(InputProblem, match="no printed sheet"):
        find_corner_marks(gray_of(read_picture(file)))


@pytest.mark.parametrize("level", [0.0, 128.0, 255.0])
def test_a_blank_picture(level):
    with pytest.raises(InputProblem, match="no printed sheet"):
        find_corner_marks(np.full((900, 1200), level))


def test_a_mirrored_picture_is_no_sheet(shots):
    gray = gray_of(read_picture(shots[0][2].file))
    with pytest.raises(InputProblem, match="no printed sheet"):
        find_corner_marks(np.ascontiguousarray(gray[:, ::-1]))


def test_two_sheets_are_not_mixed():
    rng = np.random.default_rng(13)
    size, sheets = (2400, 1400), []
    for middle in (640.0, 1760.0):
        matrix = camera.view(rng, "letter", size, 0.2, 0.7)
        at = matrix @ (4.25, 5.5, 1.0)
        moved = np.eye(3)
        moved[:2, 2] = (middle, 700.0) - at[:2] / at[2]
        sheets.append((camera.printed(), moved @ matrix, "letter"))
    seen, _lens = camera.scene(rng, size, sheets)
    with pytest.raises(InputProblem, match=r"two printed sheets.*take it again with one"):
        find_corner_marks(gray_of(read_picture(camera.developed(rng, seen))))
