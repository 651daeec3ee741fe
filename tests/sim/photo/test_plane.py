"""Pixels to inches and back, and how sure."""

import numpy as np
import pytest

from vireton.paper import CORNERS, MARKS
from vireton.photo.marks import OUTWARD, corners_on_sheet
from vireton.photo.plane import LENS_USUAL, Pins, fit_plane
from vireton.units.problems import InputProblem

SIZE = (4000, 3000)
#: A sheet seen aslant: inches to pixels.
VIEW = np.array([[210.0, 30.0, 700.0], [25.0, -190.0, 2500.0], [0.006, 0.004, 1.0]])
PLACES = np.array([(1.0, 1.0), (4.0, 5.0), (7.5, 10.0), (2.0, 8.0)])


def pictured(inches, lens=0.0):
    turned = np.column_stack([inches, np.ones(len(inches))]) @ VIEW.T
    flat = turned[:, :2] / turned[:, 2:]
    center, reach = np.array([1999.5, 1499.5]), 2500.0
    away = (flat - center) / reach
    return away * (1.0 + lens * (away**2).sum(axis=1, keepdims=True)) * reach + center


def pins_of(lens=0.0, spread=0.0, error=0.1):
    sheet = np.concatenate([corners_on_sheet("letter", corner) for corner in CORNERS])
    outward = np.tile(OUTWARD, (4, 1))
    seen = pictured(sheet + spread * outward, lens)
    return Pins(sheet, seen, np.full(len(sheet), error), outward)


def taps_of(error=2.0):
    sheet = np.array([MARKS["letter"][corner] for corner in CORNERS])
    return Pins(sheet, pictured(sheet), np.full(4, error), np.zeros((4, 2)))


def test_a_perspective_is_found_exactly():
    plane = fit_plane(SIZE, pins_of())
    assert plane.inches(pictured(PLACES)) == pytest.approx(PLACES, abs=1e-6)
    assert plane.pixels(PLACES) == pytest.approx(pictured(PLACES), abs=1e-3)
    assert plane.misfit < 1e-3


@pytest.mark.parametrize("lens", [-0.02, 0.0, 0.02])
@pytest.mark.parametrize("spread", [0.0, 0.006])
def test_lens_and_spread_of_ink_are_found_with_it(lens, spread):
    plane = fit_plane(SIZE, pins_of(lens, spread, error=1e-3))
    assert plane.lens == pytest.approx(lens, abs=1e-4)
    assert plane.values[9] * plane.scale == pytest.approx(spread, abs=1e-4)
    assert plane.inches(pictured(PLACES, lens)) == pytest.approx(PLACES, abs=1e-3)


def test_without_the_lens_a_bent_picture_is_read_wrong():
    straight = fit_plane(SIZE, pins_of(0.02, error=1e-3), lens=False)
    assert straight.lens == pytest.approx(0.0, abs=1e-4)
    assert np.abs(straight.inches(pictured(PLACES, 0.02)) - PLACES).max() > 0.01


def test_there_and_back_is_the_same_pixel():
    plane = fit_plane(SIZE, pins_of(-0.015, 0.003))
    pixels = np.random.default_rng(2).uniform((500.0, 500.0), (2500.0, 2500.0), (50, 2))
    assert plane.pixels(plane.inches(pixels)) == pytest.approx(pixels, abs=1e-5)


@pytest.mark.parametrize("how", ["read", "between"])
def test_stated_errors_are_those_of_many_pictures(how):
    """The covariance against 400 fits with the pins and the taps moved at random."""
    rng = np.random.default_rng(3)
    exact, lens, error, tap = pins_of(0.01, 0.002, 0.3), 0.01, 0.3, 0.4
    seen, found = pictured(PLACES[:2], lens), []
    for _picture in range(400):
        moved = exact.picture + rng.normal(0.0, error, exact.picture.shape)
        plane = fit_plane(SIZE, Pins(exact.sheet, moved, exact.error, exact.outward))
        taps = seen + rng.normal(0.0, tap, seen.shape)
        one = (
            plane.inches(taps) if how == "read" else plane.inches(taps[1:]) - plane.inches(taps[:1])
        )
        found.append(one[-1])
    plane = fit_plane(SIZE, exact)
    stated = plane.read(seen, tap) if how == "read" else plane.between(seen[:1], seen[1:], tap)
    assert np.std(found, axis=0) == pytest.approx(stated.error[-1], rel=0.15)
    truth = PLACES[1] if how == "read" else PLACES[1] - PLACES[0]
    assert np.mean(found, axis=0) == pytest.approx(truth, abs=4.0 * stated.error.max() / 20.0)


def test_what_moves_both_ends_alike_cancels():
    plane = fit_plane(SIZE, taps_of())
    seen = plane.pixels(np.array([(4.0, 5.0), (4.5, 5.5)]))
    assert (plane.between(seen[:1], seen[1:], 0.0).error < 0.3 * plane.read(seen, 0.0).error).all()


def test_four_taps_leave_the_lens_open_and_say_so():
    plane = fit_plane(SIZE, taps_of(0.3))
    assert plane.lens == pytest.approx(0.0, abs=1e-9)
    assert np.sqrt(plane.covariance[8, 8]) == pytest.approx(LENS_USUAL, rel=0.01)
    seen = pictured(np.array([(4.25, 5.5)]))
    known = fit_plane(SIZE, taps_of(0.3), lens=False)
    assert plane.read(seen, 0.3).error.max() > 1.5 * known.read(seen, 0.3).error.max()


def test_more_scatter_than_the_pins_claim_widens_the_errors():
    exact = pins_of(error=0.1)
    off = np.random.default_rng(4).normal(0.0, 1.0, exact.picture.shape)
    rough = fit_plane(SIZE, Pins(exact.sheet, exact.picture + off, exact.error, exact.outward))
    seen = pictured(PLACES)
    assert rough.misfit > 5.0
    wider = rough.read(seen, 0.0).error / fit_plane(SIZE, exact).read(seen, 0.0).error
    assert (wider > 5.0).all()


def test_three_points_are_too_few():
    four = taps_of()
    three = Pins(four.sheet[:3], four.picture[:3], four.error[:3], four.outward[:3])
    with pytest.raises(InputProblem, match=r"3 known points are too few.*tap the middles"):
        fit_plane(SIZE, three)


@pytest.mark.parametrize(
    "order", [(1, 0, 2, 3), (0, 2, 1, 3), (3, 2, 1, 0)], ids=["crossed", "crossed", "mirrored"]
)
def test_taps_at_each_others_corners_are_refused(order):
    four = taps_of()
    swapped = Pins(four.sheet, four.picture[list(order)], four.error, four.outward)
    with pytest.raises(InputProblem, match="each at its own corner"):
        fit_plane(SIZE, swapped)


def test_taps_on_a_line_are_refused():
    four = taps_of()
    line = np.column_stack([np.linspace(100.0, 900.0, 4), np.linspace(200.0, 950.0, 4)])
    with pytest.raises(InputProblem, match="tap the middles of the marks again"):
        fit_plane(SIZE, Pins(four.sheet, line, four.error, four.outward))


def test_a_tap_beyond_the_horizon_is_refused():
    plane = fit_plane(SIZE, pins_of())
    # on the sheet, further and further away, the picture tends to its horizon
    edge = plane.pixels(np.array([(1e5, 0.0)]))
    beyond = edge + 2.0 * (edge - plane.pixels(np.array([(4.0, 5.0)])))
    with pytest.raises(InputProblem, match="tap on the sheet"):
        plane.inches(beyond)
