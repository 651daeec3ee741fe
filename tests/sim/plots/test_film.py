"""Slow motion from invented flights (no measurement): what moves, which way, how far enlarged."""

import numpy as np
import pytest

from vireton.plots.film import (
    HEIGHT,
    PIXELS_PER_INCH,
    WIDTH,
    Motion,
    enlargement,
    film,
    frame_times,
)

DEGREE = np.pi / 180.0


def motion(label="fletched", vanes=3, yaw=1.0, pitch=0.2, spin=200.0, end=0.2, side=0.05):
    """Flies 18 m in ``end`` s; yaw and pitch rise evenly to so many degrees."""
    share = np.linspace(0.0, 1.0, 101)
    return Motion(
        label,
        vanes,
        time=0.01 + share * (end - 0.01),
        distance=1.0 + 17.0 * share,
        right=side * share**2,
        up=0.02 * share * (1.0 - share),
        yaw=yaw * DEGREE * share,
        pitch=pitch * DEGREE * share,
        turned=spin * share * end,
    )


@pytest.fixture
def shoot():
    def draw(motions, frames=4, **changed):
        words = {
            "system": "us", "title": "Mill bow (invented)", "slower": 40.0,
            "reference": "line of sight", **changed,
        }  # fmt: skip
        return list(film(motions, frame_times(motions, frames), **words))

    return draw


def test_there_are_as_many_frames_as_times_and_all_of_one_size(shoot):
    frames = shoot([motion(), motion("bare shaft", 0)], 5)
    assert len(frames) == 5
    size = (round(HEIGHT * PIXELS_PER_INCH), round(WIDTH * PIXELS_PER_INCH), 3)
    assert {one.shape for one in frames} == {size}
    assert all(one.dtype == np.uint8 for one in frames)
    assert size[0] % 2 == size[1] % 2 == 0


def test_frames_differ_where_something_moves_and_nowhere_else(shoot):
    first, *_, last = shoot([motion(), motion("bare shaft", 0)])
    changed = np.any(first != last, axis=2)
    assert changed[90:500].any()
    assert not changed[:60, :850].any()  # the heading


def test_the_same_flight_gives_the_same_frames(shoot):
    one, two = (shoot([motion()]) for _ in range(2))
    assert all(np.array_equal(a, b) for a, b in zip(one, two, strict=True))


def test_time_runs_from_when_all_fly_to_when_all_have_arrived():
    times = frame_times([motion(end=0.2), motion(end=0.25)], 11)
    assert times[[0, -1]] == pytest.approx([0.01, 0.25])
    assert np.diff(times) == pytest.approx(0.024)


def test_an_arrow_that_has_arrived_stays():
    one = motion(end=0.2)
    assert one.at(0.3) == one.at(0.2)
    assert one.at(0.2)["distance"] == pytest.approx(18.0)


@pytest.mark.parametrize(
    ("yaw", "factor"), [(0.0, 20), (1.0, 20), (2.0, 10), (6.0, 5), (15.0, 2), (20.0, 1), (90.0, 1)]
)
def test_angles_are_enlarged_as_far_as_the_shaft_stays_readable(yaw, factor):
    assert enlargement([motion(yaw=0.1), motion(yaw=-yaw)]) == factor


def stage(motions, **changed):
    from vireton.plots.film import _Stage
    from vireton.plots.style import our_look
    from vireton.units.display import display

    words = {"title": "Mill bow", "slower": 40.0, "reference": "line of sight", "notes": ["One."]}
    with our_look():
        return _Stage.build(motions, display("us"), **{**words, **changed})


def near_turn(line):
    (x0, x1), (y0, y1) = line.get_data()
    return np.degrees(np.arctan2(y1 - y0, x1 - x0))


def test_near_shafts_turn_by_the_enlarged_angle_and_tell_the_true_one():
    flown = motion(yaw=2.0, pitch=-1.0)
    picture = stage([flown])
    assert picture.factor == 10
    picture.move_to(0.2)
    side, above = (panel[0] for panel in picture.near.shafts)
    assert near_turn(side.shaft) == pytest.approx(-10.0)
    assert near_turn(above.shaft) == pytest.approx(20.0)
    assert side.words.get_text() == "−1°"
    assert above.words.get_text() == "+2°"
    # one scale both ways, or the angle on the page would be another
    for panel in picture.figure.axes[2:]:
        wide, high = np.ptp(panel.get_xlim()), np.ptp(panel.get_ylim())
        assert panel.bbox.width / panel.bbox.height == pytest.approx(wide / high)


def test_on_its_path_the_shaft_lies_along_it_but_for_the_enlarged_angle():
    for yaw in (0.0, 2.0, -2.0):
        picture = stage([motion(yaw=yaw)])
        picture.move_to(0.15)
        trail = picture.trails[1][1]
        assert trail.place == "right"
        pixels = trail.axes.transData.transform(np.column_stack(trail.line.get_data()))
        along = pixels[-1] - pixels[-8]
        shaft = trail.axes.transData.transform(np.column_stack(trail.shaft.get_data()))
        turn = np.diff([np.degrees(np.arctan2(*v[::-1])) for v in (along, shaft[0] - shaft[1])])
        share = (0.15 - 0.01) / 0.19
        assert turn[0] == pytest.approx(picture.factor * yaw * share, abs=1.5)


def test_vanes_turn_clockwise_for_the_archer():
    picture = stage([motion(spin=0.5 * np.pi / 0.2)])
    vane = picture.near.behind[0].vanes[0]
    center = np.array(picture.near.behind[0].center)
    picture.move_to(0.01)
    assert np.column_stack(vane.get_data())[1] - center == pytest.approx([0.0, 0.95])
    picture.move_to(0.2)
    assert np.column_stack(vane.get_data())[1] - center == pytest.approx([0.95, 0.0], abs=1e-9)
    assert stage([motion(vanes=0)]).near.behind == [None]


def test_a_direction_in_which_nothing_moves_is_left_out_and_named(words, assert_legible):
    straight = stage([motion(yaw=0.0, side=0.0), motion("bare shaft", 0, yaw=0.0, side=0.0)])
    whole = stage([motion(), motion("bare shaft", 0)])
    assert [trail.place for _, trail in straight.trails] == ["up", "up"]
    assert {trail.place for _, trail in whole.trails} == {"up", "right"}
    high = [picture.figure.axes[0].get_position().height for picture in (straight, whole)]
    assert high[0] > 1.9 * high[1]
    straight.move_to(0.1)
    for artist in straight.figure.findobj():
        artist.set_animated(False)
    assert "nothing leaves 0 at its scale: sideways." in words(straight.figure)
    assert "from behind" in words(straight.figure)
    assert_legible(straight.figure)


def test_the_picture_says_what_is_enlarged_and_slowed_and_can_be_read(words, assert_legible):
    picture = stage([motion(), motion("bare shaft", 0, yaw=6.0)])
    picture.move_to(0.1)
    for artist in picture.figure.findobj():
        artist.set_animated(False)
    said = words(picture.figure)
    for needed in (
        "40 times slower", "5 times too large", "fletched", "bare shaft", "100 ms",
        "archer's right is up", "distance from the bow (yd)", "up (in)", "sideways (in)",
    ):  # fmt: skip
        assert needed in said
    assert_legible(picture.figure)


@pytest.mark.parametrize("count", [0, 3])
def test_no_arrow_or_too_many_are_refused(shoot, count):
    with pytest.raises(ValueError, match="one arrow or two"):
        list(film([motion()] * count, [0.1], system="us", title="", slower=1.0, reference=""))


def test_arrays_that_do_not_fit_are_refused():
    good = vars(motion())
    with pytest.raises(ValueError, match="shape"):
        Motion(**{**good, "yaw": good["yaw"][:-1]})
    with pytest.raises(ValueError, match="finite"):
        Motion(**{**good, "yaw": good["yaw"] * np.nan})
    with pytest.raises(ValueError, match="rise"):
        Motion(**{**good, "time": good["time"][::-1]})
