"""The lines above every table, and the arrow in JSON."""

import pytest

from demo import mill_rig
from vireton.answers.arrow import arrow_json, heading
from vireton.bow.bow import Sight
from vireton.units.display import METRIC, US


def test_us_heading():
    text = "\n".join(heading(mill_rig(), US, 64))
    # 415 gr at 280 fps: gr·fps²/450 437 = 72.2 ft·lbf
    for words in ("Mill bow, 60 lbf: 280 fps, 72.2 ft·lbf", "415 gr fletched", "6.9 gr/lbf"):
        assert words in text
    assert "sighted in at 20 yd" in text
    assert "64 plausible bows" in text


def test_metric_heading_and_no_sight():
    text = "\n".join(heading(mill_rig(sight=Sight(None, 0.09)), METRIC, 8))
    assert "85.3 m/s" in text
    assert "26.9 g fletched" in text
    assert "bore line" in text


def test_arrow_json():
    arrow = arrow_json(mill_rig())
    assert arrow["mass_grains"] == pytest.approx(414.7, abs=0.1)
    assert arrow["grains_per_pound"] == pytest.approx(414.7 / 60, abs=0.01)
    assert arrow["bending_stiffness_n_m2"] == pytest.approx(2.5461 / 0.34, rel=1e-3)
    # 414.7 gr at 280 fps: m v in slug·ft/s
    assert arrow["momentum_slug_ft_s"] == pytest.approx(414.7 / 7000 / 32.174 * 280, rel=1e-3)
