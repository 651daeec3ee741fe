"""The lines above every table, and the arrow in JSON."""

from dataclasses import replace

import pytest

from demo import mill_rig
from vireton.answers.arrow import arrow_facts, arrow_json, heading
from vireton.bow.bow import Sight
from vireton.units.display import METRIC, US


def test_us_heading():
    text = "\n".join(heading(mill_rig(), US))
    # 415 gr at 280 fps: gr·fps²/450 437 = 72 ft·lbf
    for words in ("Mill bow, 60 lb, 280 fps (72 ft·lbf", "415 gr (bare 395 gr)", "6.9 gr/lb"):
        assert words in text
    assert "sighted in at 20 yd" in text
    assert "most bows like yours (9 of 10)" in text
    assert "plausible" not in text
    assert "hand" not in text


def test_numbers_of_the_setup_are_told_as_they_stand_there():
    rig = mill_rig()
    half = replace(rig, bow=replace(rig.bow, draw_weight=70.5 * 4.4482216152605))
    assert "Mill bow, 70.5 lb, 280 fps" in arrow_facts(half, US)[0]


def test_a_left_hand_changes_nothing_and_is_told_so():
    rig = mill_rig()
    left = replace(rig, bow=replace(rig.bow, hand="left"))
    (told,) = arrow_facts(left, US)
    assert "left-handed (right and left are as you see them)" in told


def test_metric_heading_and_no_sight():
    text = "\n".join(heading(mill_rig(sight=Sight(None, 0.09)), METRIC))
    assert "85.3 m/s" in text
    assert "26.9 g (bare 25.6 g)" in text
    assert "bore line" in text


def test_arrow_json():
    arrow = arrow_json(mill_rig())
    assert arrow["mass_grains"] == pytest.approx(414.7, abs=0.1)
    assert arrow["grains_per_pound"] == pytest.approx(414.7 / 60, abs=0.01)
    assert arrow["bending_stiffness_n_m2"] == pytest.approx(2.5461 / 0.34, rel=1e-3)
    # 414.7 gr at 280 fps: m v in slug·ft/s
    assert arrow["momentum_slug_ft_s"] == pytest.approx(414.7 / 7000 / 32.174 * 280, rel=1e-3)
