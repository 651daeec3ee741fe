"""A setup made ready to shoot."""

from dataclasses import replace

import numpy as np
import pytest

import vireton
from vireton.answers.shot import load, rig_for
from vireton.setup import template_text

YARD = 0.9144


@pytest.fixture(scope="module")
def setup():
    return load()


def test_without_a_file_it_is_the_demo_bow_and_with_one_the_file(tmp_path, setup):
    file = tmp_path / "bow.toml"
    file.write_text(template_text().replace('"Mill bow"', '"Other bow"'), encoding="utf-8")
    assert setup.bow.name == "Mill bow"
    assert load(file).bow.name == "Other bow"
    with pytest.raises(vireton.InputProblem, match="no such file"):
        load(tmp_path / "none.toml")


def test_nothing_given_keeps_the_setup_s_own(setup):
    rig = rig_for(setup, sight_in=None, wind=None)
    assert rig.sight == setup.sight
    assert rig.conditions.air == setup.air
    assert (rig.conditions.slope, rig.aim.cant) == (0.0, 0.0)
    assert set(vars(rig.override).values()) == {None}


def test_what_is_given_comes_in(setup):
    rig = rig_for(
        setup, sight_in=40 * YARD, wind=(5.0, 3.0), slope=0.5, cant=0.1, yaw=0.02, pitch_rate=0.3
    )
    assert rig.sight.sight_in == 40 * YARD
    # out of 3 o'clock blows to the left
    assert rig.conditions.wind.towards_right == pytest.approx(-5.0)
    assert rig.conditions.slope == 0.5
    assert rig.aim.cant == 0.1
    assert (rig.override.yaw, rig.override.pitch, rig.override.pitch_rate) == (0.02, None, 0.3)
    assert rig_for(setup, sight_in=np.inf).sight.sight_in is None


@pytest.mark.parametrize(
    ("bow", "launch", "is_open"),
    [
        ({}, {}, False),
        ({"nock_travel_right": (0.0, 0.001, 0.0)}, {}, True),
        ({"nock_travel_right": (0.0, 0.0, 0.0)}, {}, False),
        ({"kick_right": 0.1}, {}, True),
        ({"kick_right": 0.1}, {"yaw": 0.0, "yaw_rate": 0.1}, False),
        ({"kick_right": 0.1}, {"yaw": 0.0}, True),
    ],
)
def test_what_makes_the_side_open(setup, bow, launch, is_open):
    rig = rig_for(replace(setup, bow=replace(setup.bow, **bow)), **launch)
    assert rig.sideways_open() is is_open
    assert rig.sideways_open(0.001) is (is_open or not launch)
