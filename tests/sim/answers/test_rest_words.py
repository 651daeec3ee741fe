"""The archer's words: signs above all."""

import numpy as np
import pytest

from vireton.answers.bands import tear_words
from vireton.answers.rest_words import rest_words, why_words
from vireton.studies.rest_moves import RestMove, talking_index
from vireton.uncertain import Banded
from vireton.units.display import METRIC, US

INCH = 0.0254
AT = np.array([10.0, 20.0, 40.0]) * 0.9144


def exact(right, up):
    values = np.array([right, up])
    return Banded(values, values, values)


def rows(right, up, spread=0.2):
    nominal = np.tile([right, up], (3, 1)) * INCH
    return Banded(nominal, nominal - spread * INCH, nominal + spread * INCH)


def move(right=0.0, up=INCH / 32, **changes):
    values = {
        "right": right,
        "up": up,
        "distance": AT,
        "fletched": rows(0, 1.7),
        "bare": rows(0, 2.6),
        "separation": rows(0, 0.9),
        "separation_before": rows(0, -0.4),
        "separation_change": rows(0.8, 1.3),
        "tear_fletched": exact(0.0, 0.0),
        "tear_bare": exact(0.0, -INCH / 8),
        "tear_from_bending": np.zeros(2),
        "deciders_right": {"cam_stiffness": 0.7, "string_mass": 0.04} if right else {},
        "deciders_up": {"point_lift": 0.5},
        "share_right": 0.75 if right else float("nan"),
        "share_right_before": 0.6 if right else float("nan"),
        "draws": 64,
    }
    return RestMove(**(values | changes))


def test_the_words_speak_of_the_distance_nearest_to_20_yd():
    assert talking_index(AT) == 1


def test_upward_answer_in_words():
    text = "\n".join(rest_words(move(), US, 6 * 0.3048))
    assert "at 20 yd the fletched group goes 1.7 in up (1.5 to 1.9)" in text
    assert "the bare shaft then hits 0.9 in above (0.7 to 1.1) the fletched group" in text
    assert "before the move 0.4 in below (0.2 to 0.6)" in text
    assert "on paper at 6 ft: bare shaft 1/8 in tail-low; fletched a clean hole" in text
    assert "open" not in text


def test_a_sideways_move_is_called_open_whatever_the_draws_say():
    for share in (1.0, 0.75, 0.0):
        text = "\n".join(rest_words(move(right=INCH / 32, share_right=share), US, 1.83))
        assert "WHICH WAY the bare shaft goes is open" in text
        assert "only this bow can tell" in text
    assert "left of the fletched on over 99 % of bows like yours" in text


def test_a_sideways_move_begins_sideways_and_names_sizes():
    aside = move(
        right=INCH / 16,
        up=0.0,
        fletched=rows(3.3, 0.0, 0.01),
        separation_change=Banded(*(np.tile([x, 0.0], (3, 1)) * INCH for x in (-0.2, -1.1, 0.3))),
        deciders_up={},
    )
    first, *others = rest_words(aside, US, 1.83)
    assert "goes with the rest, about 3.30 in" in first
    assert "bare and fletched part by about 0.2 in, at most 1.1 in, or not at all" in first
    assert any(
        "up and down nothing moves: at 20 yd the bare shaft hits 0.9 in above" in one
        for one in others
    )


def test_where_the_group_itself_may_go_either_way_no_side_is_named():
    unsure = move(right=INCH / 16, fletched=rows(0.1, 0.0, 0.4))
    assert "may go to either side" in rest_words(unsure, US, 1.83)[0]


def test_a_group_that_all_bows_send_one_way_is_not_told_to_go_either_way():
    for right, words in ((1 / 16, "goes with the rest"), (-1 / 16, "goes against the rest")):
        group = move(right=right * INCH, fletched=rows(0.9, 0.0, 0.4))
        assert words in rest_words(group, US, 1.83)[0]


def test_a_sideways_move_that_lifts_is_told_in_full():
    lifted = move(right=INCH / 16, up=0.0, fletched=rows(3.3, 0.3))
    text = "\n".join(rest_words(lifted, US, 1.83))
    assert "the fletched group goes 0.3 in up" in text
    assert "nothing moves" not in text


def test_what_decides_is_named_with_its_share():
    text = "\n".join(why_words(move(right=INCH / 32)))
    assert "what widens the brackets sideways: how hard the limbs hold the cams (70 %)" in text
    assert "the string's mass" not in text
    assert "what widens the brackets up and down: the point's lift (50 %)" in text


def test_a_sideways_band_over_0_is_said():
    both = move(right=INCH / 32, separation_change=rows(0.1, 1.3, 0.4))
    assert "or not at all" in rest_words(both, US, 1.83)[0]
    sure = move(right=INCH / 32, separation_change=rows(0.8, 1.3, 0.4))
    assert "or not at all" not in rest_words(sure, US, 1.83)[0]


def test_bending_left_over_is_told_where_it_can_be_seen():
    seen = move(tear_from_bending=np.array([0.0, INCH / 16]))
    assert "swings that by up to 1/16 in either way" in "\n".join(rest_words(seen, US, 1.83))
    assert "swings" not in "\n".join(rest_words(move(), US, 1.83))


def test_an_up_move_says_nothing_about_sideways():
    assert "sideways" not in "\n".join(rest_words(move(), US, 1.83))


def test_a_band_over_both_signs_is_said():
    text = "\n".join(rest_words(move(separation=rows(0, 0.1, 0.5)), US, 1.83))
    assert "0.1 in above (0.4 below to 0.6 above)" in text
    # a rounded nothing has no side
    text = "\n".join(rest_words(move(separation=rows(0, 0.19, 0.2)), US, 1.83))
    assert "0.2 in above (0.0 to 0.4 above)" in text


def test_metric_words():
    text = "\n".join(rest_words(move(), METRIC, 1.83))
    assert "4.3 cm up" in text
    assert "bare shaft 3 mm tail-low" in text


@pytest.mark.parametrize(
    ("right", "up", "words"),
    [
        (-1 / 16, 1 / 8, "1/8 in tail-high and 1/16 in tail-left"),
        (1 / 4, 0.0, "1/4 in tail-right"),
        (0.0, -1 / 4, "1/4 in tail-low"),
        (0.01, -0.01, "a clean hole"),
        (np.nan, 0.1, "no tear: the paper is not reached"),
    ],
)
def test_tears(right, up, words):
    assert tear_words(exact(right * INCH, up * INCH), US, sideways_open=False) == words


def test_a_sideways_tear_of_open_direction_names_no_side():
    text = tear_words(exact(-INCH / 8, INCH / 8), US, sideways_open=True)
    assert text == "1/8 in tail-high and 1/8 in sideways, either way"
