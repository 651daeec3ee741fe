"""A setup made ready to shoot."""

import warnings
from dataclasses import replace

import numpy as np
import pytest

from vireton.answers.readying import (
    Caution,
    caution,
    demand_flown,
    load,
    setup_of,
    shot_of,
    sideways_open,
)
from vireton.setup import template_text
from vireton.units.problems import InputProblem

YARD = 0.9144


@pytest.fixture(scope="module")
def setup():
    return load()


def test_without_a_file_it_is_the_demo_bow_and_with_one_the_file(tmp_path, setup):
    file = tmp_path / "bow.toml"
    file.write_text(template_text().replace('"Mill bow"', '"Other bow"'), encoding="utf-8")
    assert setup.bow.name == "Mill bow"
    assert load(file).bow.name == setup_of(str(file)).bow.name == "Other bow"
    assert setup_of(setup) is setup


def test_a_file_that_is_not_there_is_told_in_words(tmp_path):
    with pytest.raises(InputProblem, match="no such file"):
        load(tmp_path / "none.toml")


def test_nothing_given_keeps_the_setup_s_own(setup):
    shot = shot_of(setup)
    assert shot.sight == setup.sight
    assert shot.conditions.air == setup.air
    assert (shot.conditions.slope, shot.cant) == (0.0, 0.0)
    assert vars(shot.override) == dict.fromkeys(("yaw", "pitch", "yaw_rate", "pitch_rate"))


def test_what_is_given_comes_in(setup):
    shot = shot_of(
        setup,
        sight_in="40 yd",
        wind=(5.0, 3.0),
        slope="30 deg",
        cant=0.1,
        yaw="1 deg",
        pitch_rate="20 deg/s",
    )
    assert shot.sight.sight_in == pytest.approx(40 * YARD)
    # out of 3 o'clock blows to the left
    assert shot.conditions.wind.towards_right == pytest.approx(-5.0)
    assert shot.conditions.slope == pytest.approx(np.radians(30.0))
    assert shot.cant == 0.1
    assert shot.override.yaw == pytest.approx(np.radians(1.0))
    assert shot.override.pitch_rate == pytest.approx(np.radians(20.0))
    assert shot.override.pitch is None


def test_none_as_a_word_measures_from_the_bore_line(setup):
    assert shot_of(setup, sight_in="None").sight.sight_in is None


def test_errors_spell_the_name_as_the_caller_does(setup):
    with pytest.raises(InputProblem, match=r'^sight_in: "0 yd" is outside'):
        shot_of(setup, sight_in="0 yd")
    with pytest.raises(InputProblem, match=r'^--sight-in: "0 yd" is outside'):
        shot_of(setup, sight_in="0 yd", spelled=lambda name: "--" + name.replace("_", "-"))


def test_an_arrow_too_light_for_the_bow_is_a_caution(setup):
    light = replace(setup, parts=replace(setup.parts, measured_mass=0.01))
    with pytest.warns(Caution, match="DANGER"):
        caution(shot_of(light).rig(light))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        caution(shot_of(setup).rig(setup))


def test_sideways_is_open_unless_the_launch_is_given(setup):
    rig = shot_of(setup).rig(setup)
    assert not sideways_open(rig, 0.0)
    assert sideways_open(rig, 0.001)
    given = shot_of(setup, yaw=0.0, yaw_rate=0.1).rig(setup)
    assert not sideways_open(given, 0.001)


def test_a_distance_that_is_never_reached_is_refused(setup):
    rig = shot_of(setup).rig(setup)
    with pytest.raises(InputProblem, match=r"the bare arrow never reaches 1750 yd \(1600 m\)"):
        demand_flown("bare", rig.shoot(rig.bare, [20.0, 1600.0]))
