"""The table of what differs from shot to shot."""

import math

import pytest

from vireton.setup.errors import SetupError
from vireton.setup.load import parse_setup
from vireton.setup.schema import json_schema
from vireton.setup.template import template_text

TEXT = template_text()
HEAD, _, TABLE = TEXT.partition("# [scatter]\n")
GRAIN, FPS, MPH = 6.479891e-5, 0.3048, 0.44704


def with_table(*lines):
    return parse_setup("\n".join([HEAD, "[scatter]", *lines, ""])).scatter


def test_the_template_shows_what_counts_without_the_table():
    shown = [line.removeprefix("# ") for line in TABLE.split("\n")]
    assert with_table(*shown) == parse_setup(TEXT).scatter
    assert with_table() == parse_setup(TEXT).scatter


def test_the_defaults_arrive_in_si():
    spread = parse_setup(TEXT).scatter
    assert spread.aim_right == spread.aim_up == pytest.approx(1.0 / 720.0)
    assert (spread.yaw_rate, spread.pitch_rate) == (0.1, 0.1)
    assert spread.yaw == spread.pitch == pytest.approx(math.radians(0.1))
    assert spread.speed == pytest.approx(FPS)
    assert spread.gust_across == spread.gust_along == pytest.approx(MPH)
    assert spread.mass == pytest.approx(GRAIN)
    assert spread.spine == pytest.approx(0.003 * 0.0254)


def test_own_values_and_both_spellings_of_an_aim():
    spread = with_table('aim_right = "2 in at 40 yd"', 'aim_up = "2 mrad"', 'mass = "0 gr"')
    assert spread.aim_right == pytest.approx(1.0 / 720.0)
    assert spread.aim_up == pytest.approx(2e-3)
    assert spread.mass == 0.0


def test_without_a_spine_it_cannot_differ():
    limp = HEAD.replace('spine = "0.340 in"', '# spine = "0.340 in"')
    assert parse_setup(limp).scatter.spine == 0.0


@pytest.mark.parametrize(
    "line, said",
    [
        ('aim_up = "1 in"', "aim_up"),
        ("aim_up = 1.5", "has no unit"),
        ('aim_up = "1 yd at 1 yd"', "outside 0 to 36 in at 20 yd"),
        ('aim_up = "1 in at 0 yd"', "must be above 0"),
        ('aim_up = "-1 mrad"', "outside 0 mrad to 50 mrad"),
        ('gust = "1 mph"', "gust"),
        ('speed = "-1 fps"', "outside"),
    ],
)
def test_what_cannot_be_is_told(line, said):
    with pytest.raises(SetupError, match=said) as caught:
        with_table(line)
    assert "scatter." in str(caught.value)


def test_the_schema_holds_the_table():
    keys = json_schema()["$defs"]["ScatterTable"]["properties"]
    assert keys["aim_up"]["examples"] == ["1 in at 20 yd"]
    assert set(keys) >= {"aim_right", "gust_along", "mass", "spine"}
