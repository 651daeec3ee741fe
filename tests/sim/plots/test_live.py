"""The live window without a screen: its events are fired, what it shows is read."""

import numpy as np
import pytest
from matplotlib.backend_bases import MouseButton, MouseEvent
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from vireton.plots import FlightCurve, live_window
from vireton.plots.live import HEIGHT, PIXELS_PER_INCH, WIDTH

YARD, INCH = 0.9144, 0.0254


def invented_shoot(right, up, wind):
    """Shifts that grow with distance, the bare shaft's threefold; invented, no real bow."""
    x = np.linspace(1.0, 60.0 * YARD, 80)

    def flight(label, times):
        return FlightCurve(
            label,
            x,
            right=times * (30.0 * right + 2e-3 * wind) * x / 18.288,
            up=times * 30.0 * up * x / 18.288 - 1e-3 * x * x,
            yaw=times * 50.0 * right * np.sin(x / 5.0),
            pitch=0.0 * x,
        )

    return flight("fletched", 1.0), flight("bare", 3.0)


@pytest.fixture
def window():
    figure = Figure((WIDTH, HEIGHT), dpi=PIXELS_PER_INCH)
    FigureCanvasAgg(figure)

    def build(shoot=invented_shoot, system="us"):
        made = live_window(
            figure, shoot, system=system, title="Mill bow (invented)", face=20.0 * YARD,
            notes=["No bands: to teach from."],
        )  # fmt: skip
        figure.canvas.draw()
        return made

    return build


def click(made, axes, across=0.5, down=0.5):
    """A press and release of the left button in ``axes``."""
    x, y = axes.transAxes.transform((across, down))
    canvas = made.figure.canvas
    for name in ("button_press_event", "button_release_event"):
        canvas.callbacks.process(name, MouseEvent(name, canvas, x, y, MouseButton.LEFT))


def pixels(made):
    return np.array(made.figure.canvas.buffer_rgba()).copy()


def test_it_begins_where_the_bow_was_sighted_in(window):
    made = window()
    assert made.values() == pytest.approx({"right": 0, "up": 0, "wind": 0, "face": 20 * YARD})
    assert made.impacts() == pytest.approx(np.zeros((2, 2)))
    assert "20 yd" in made.heading.get_text()


def test_a_slider_moves_the_arrows_by_what_it_says(window):
    made = window()
    before = pixels(made)
    made.sliders["right"].set_val(2.0)
    made.sliders["up"].set_val(-1.0)
    step = INCH / 32.0
    assert made.values()["right"] == pytest.approx(2.0 * step)
    assert made.impacts() == pytest.approx(30.0 * step * np.array([[2, -1], [6, -3]]), rel=1e-6)
    fletched, bare = (spot.get_data() for spot in made.spots)
    assert np.ravel(fletched) == pytest.approx([60.0 / 32.0, -30.0 / 32.0])
    assert np.ravel(bare) == pytest.approx([180.0 / 32.0, -90.0 / 32.0])
    assert "+5.6, −2.8" in made.names[1].get_text()
    assert (pixels(made) != before).any()


def test_wind_and_face_have_their_units(window):
    made = window()
    made.sliders["wind"].set_val(10.0)
    assert made.values()["wind"] == pytest.approx(4.4704)
    at_twenty = made.impacts()[0, 0]
    made.sliders["face"].set_val(40.0)
    assert made.impacts()[0, 0] == pytest.approx(2.0 * at_twenty, rel=1e-6)
    assert "40 yd" in made.heading.get_text()


def test_a_hand_on_a_slider_moves_it(window):
    made = window()
    click(made, made.sliders["up"].ax, across=0.9)
    assert made.values()["up"] > 0.0
    assert made.impacts()[0, 1] > 0.0


def test_vanes_on_and_off(window):
    made = window()
    before = pixels(made)
    assert made.shown() == (True, True)
    made.vanes.set_active(0)
    assert made.shown() == (False, True)
    assert [spot.get_visible() for spot in made.spots] == [False, True]
    assert [line.get_visible() for line in made.panels[0].lines] == [False, True]
    assert (pixels(made) != before).any()
    # the frame of the upper box, by a press of the button
    made.figure.canvas.draw()
    click(made, made.vanes.ax, across=0.15, down=2.0 / 3.0)
    assert made.shown() == (True, True)


def test_put_back_is_the_beginning_to_the_last_pixel(window):
    made = window()
    before = pixels(made)
    for name, value in (("right", 4.0), ("up", -3.0), ("wind", 12.0), ("face", 50.0)):
        made.sliders[name].set_val(value)
    assert (pixels(made) != before).any()
    click(made, made.reset.ax)
    assert made.values() == pytest.approx({"right": 0, "up": 0, "wind": 0, "face": 20 * YARD})
    made.figure.canvas.draw()
    assert (pixels(made) == before).all()


def test_panels_come_with_what_they_show_and_go_with_the_reset(window, words, assert_legible):
    made = window()

    def drawn():
        shown = [panel.axes for panel in made.panels if panel.axes.get_visible()]
        assert sum(axes.get_position().height for axes in shown) > 0.5  # they fill the window
        assert [bool(axes.get_xlabel()) for axes in shown] == [False] * (len(shown) - 1) + [True]
        return [axes.get_ylabel().split(" (")[0] for axes in shown]

    made.sliders["up"].set_val(1.0)
    assert drawn() == ["sideways", "up"]  # the first alone stood for all that were empty
    made.sliders["right"].set_val(1.0)
    made.sliders["right"].set_val(0.0)
    assert drawn() == ["sideways", "up", "nose"]  # none goes while a hand is at work
    assert_legible(made.stand_still())
    click(made, made.reset.ax)
    assert drawn() == ["sideways"]


def test_only_panels_that_show_something_are_there_at_first(window):
    def bare_flies_high(right, up, wind):
        fletched, bare = invented_shoot(right, up, wind)
        bare.up[:] += 0.05 * bare.distance / 18.0
        return fletched, bare

    made = window(bare_flies_high)
    assert [panel.axes.get_visible() for panel in made.panels] == [False, True, False]


def test_an_axis_grows_with_what_it_shows_and_does_not_jump_back(window):
    made = window()
    sideways = made.panels[0].axes
    assert sideways.get_ylim() == (-2.0, 2.0)
    made.sliders["right"].set_val(4.0)
    reach = sideways.get_ylim()[1]
    assert reach >= np.abs(made.panels[0].lines[1].get_ydata()).max()
    made.sliders["right"].set_val(0.5)
    assert sideways.get_ylim()[1] == reach


def test_drawing_only_what_moves_gives_the_same_picture_as_drawing_all(window):
    made = window()
    made.sliders["right"].set_val(3.0)
    made.sliders["right"].set_val(2.0)
    moved = pixels(made)
    made.figure.canvas.draw()
    assert (pixels(made) == moved).all()


def test_metric(window):
    made = window(system="metric")
    made.sliders["right"].set_val(1.0)
    assert made.values()["right"] == pytest.approx(1e-3)
    assert "m/s" in made.sliders["wind"].label.get_text()
    assert "cm" in made.face.get_xlabel()


def test_it_can_be_read_and_saved(window, words, assert_legible, tmp_path):
    made = window()
    made.sliders["right"].set_val(1.0)
    figure = made.stand_still()
    said = words(figure)
    for needed in (
        "rest right, 1/32 in", "sighted in", "as the archer sees it", "(yd)", "Reset",
    ):  # fmt: skip
        assert needed in said
    assert_legible(figure)
    figure.savefig(tmp_path / "w.svg")
    assert (
        b"<text" in (tmp_path / "w.svg").read_bytes() or (tmp_path / "w.svg").stat().st_size > 1e4
    )


def test_an_arrow_that_falls_short_is_said_to(window):
    def short(right, up, wind):
        fletched, bare = invented_shoot(right, up, wind)
        for values in (bare.right, bare.up, bare.yaw):
            values[bare.distance > 10.0] = np.nan
        return fletched, bare

    made = window(short)
    assert "never gets there" in made.names[1].get_text()
    made.sliders["up"].set_val(1.0)
    assert made.panels[1].axes.get_ylim()[1] >= 2.0


def test_a_canvas_that_only_draws_the_whole_still_shows_all(words):
    figure = Figure((WIDTH, HEIGHT), dpi=PIXELS_PER_INCH)  # its canvas can draw nothing in part
    made = live_window(
        figure, invented_shoot, system="us", title="Mill bow", face=20.0 * YARD, notes=[]
    )
    made.sliders["right"].set_val(2.0)
    assert not made.panels[0].lines[0].get_animated()
    assert "fletched" in words(figure)
