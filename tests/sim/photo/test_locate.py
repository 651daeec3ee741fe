"""From pictures to inches."""

import numpy as np
import pytest

from vireton.paper import CORNERS, HALF_FILLED, MARKS, PAPERS
from vireton.photo.locate import locate_sheet
from vireton.photo.straighten import between_straightened, gray_of, inches_of, read_picture
from vireton.units.problems import InputProblem

#: Taps miss by up to 3 pixels of the straightened image, evenly over a disk, whose standard
#: deviation each way is half its radius.
TAP, PER_INCH = 3.0, 200


def test_a_tear_is_read_to_a_thirtysecond_and_the_stated_error_holds(shots, located):
    rng, off, stated = np.random.default_rng(14), [], []
    for (paper, holes, shot), sheet in zip(shots, located, strict=True):
        assert (sheet.paper, sheet.tapped) == (paper, ())
        seen = sheet.plane.inches(shot.pixels(holes))
        for _tap in range(20):
            far, angle = TAP * np.sqrt(rng.uniform(0, 1, 2)), rng.uniform(0, 2 * np.pi, 2)
            miss = np.column_stack([far * np.cos(angle), far * np.sin(angle)])
            up = np.column_stack([seen[:, 0], PAPERS[paper][1] - seen[:, 1]])
            taps = up * PER_INCH - 0.5 + miss
            tear = between_straightened(sheet, taps[:1], taps[1:], PER_INCH, TAP / 2.0)
            off.append(tear.inches[0] - (holes[1] - holes[0]))
            stated.append(tear.error[0])
    off, stated = np.abs(off), np.array(stated)
    assert (off.max(axis=1) < 1.0 / 32.0).mean() >= 0.95
    assert 0.93 < (off < 2.0 * stated).mean() < 0.995
    assert off.max() > 0.005  # the taps were truly off


def test_with_perfect_taps_the_picture_itself_is_read_to_a_hundredth(shots, located):
    for (_paper, holes, shot), sheet in zip(shots, located, strict=True):
        plane = sheet.plane
        seen = shot.pixels(holes)
        place, tear = plane.read(seen, 0.0), plane.between(seen[:1], seen[1:], 0.0)
        assert np.abs(place.inches - holes).max() < 0.01
        assert (np.abs(place.inches - holes) < 4.0 * place.error).all()
        assert (np.abs(tear.inches - (holes[1] - holes[0])) < 4.0 * tear.error).all()


@pytest.mark.parametrize("corner", CORNERS)
def test_a_tap_stands_in_for_a_covered_mark(gray_shot, without, corner):
    holes = np.array([(3.0, 5.0), (3.6, 5.8)])
    gray, shot = gray_shot(CORNERS.index(corner), spoil=without("letter", corner))
    with pytest.raises(InputProblem, match=f"tap the middle of the {corner} mark"):
        locate_sheet(gray)
    tap = shot.pixels(np.array([MARKS["letter"][corner]]))[0] + (2.0, -2.0)
    sheet = locate_sheet(gray, taps={corner: tuple(tap)})
    assert (sheet.paper, sheet.tapped) == ("letter", (corner,))
    seen = shot.pixels(holes)
    tear = sheet.plane.between(seen[:1], seen[1:], 0.0)
    assert np.abs(tear.inches[0] - (0.6, 0.8)).max() < 1.0 / 64.0
    assert (np.abs(tear.inches[0] - (0.6, 0.8)) < 4.0 * tear.error[0]).all()


def test_the_wrong_paper_is_noticed(gray_shot, without):
    gray, shot = gray_shot(0, spoil=without("letter", HALF_FILLED))
    tap = tuple(shot.pixels(np.array([MARKS["letter"][HALF_FILLED]]))[0])
    with pytest.raises(InputProblem, match="do not lie as on a flat a4 sheet: check the taps"):
        locate_sheet(gray, taps={HALF_FILLED: tap}, paper="a4")


def test_four_taps_need_no_marks_but_the_paper(shots):
    paper, holes, shot = shots[0]
    middles = shot.pixels(np.array([MARKS[paper][corner] for corner in CORNERS]))
    taps = {c: tuple(m) for c, m in zip(CORNERS, middles, strict=True)}
    blank = np.full(shot.size[::-1], 128.0)
    sheet = locate_sheet(blank, taps=taps, paper=paper)
    read = sheet.plane.read(shot.pixels(holes), 0.0)
    assert (np.abs(read.inches - holes) < 3.0 * read.error).all()
    with pytest.raises(InputProblem, match=r"which paper.*letter or a4"):
        locate_sheet(blank, taps=taps)


def test_a_tap_on_a_mark_that_was_found_changes_nothing(shots, located):
    _paper, holes, shot = shots[1]
    gray = gray_of(read_picture(shot.file))
    seen = shot.pixels(holes)
    sheet = locate_sheet(gray, taps={"lower left": (10.0, 10.0)})
    assert sheet.tapped == ()
    assert (sheet.plane.inches(seen) == located[1].plane.inches(seen)).all()


def test_a_corner_that_no_sheet_has():
    with pytest.raises(InputProblem, match=r"'middle' on a sheet; choose upper left"):
        locate_sheet(np.zeros((300, 300)), taps={"middle": (1.0, 1.0)})


def test_taps_on_the_straightened_image_count_from_its_upper_left(located):
    sheet = located[0]
    found = inches_of(sheet, np.array([(-0.5, -0.5), (849.5, 1099.5)]), 100)
    assert found == pytest.approx(np.array([(0.0, 11.0), (8.5, 0.0)]))
