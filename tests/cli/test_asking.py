"""From a question to its command: what is the same for all of them."""

import json

import pytest

import vireton as library

MILL = "examples/mill_bow.toml"
LOG = "examples/mill_log.toml"


def test_the_command_and_the_library_give_the_same_answer(vireton, monkeypatch, pytestconfig):
    monkeypatch.chdir(pytestconfig.rootpath)
    few = ("--distances", "20 yd", "--draws", "8")
    flown = vireton("fly", MILL, "--wind", "5 mph from 9", "--cant", "2 deg", *few, "--json")
    tuned = vireton("tune", LOG, "--json")
    assert (flown.code, tuned.code) == (0, 0)
    asked = library.fly(MILL, "20 yd", wind="5 mph from 9", cant="2 deg", draws=8)
    # through text, as nan is None and tuples are lists there
    assert json.loads(flown.out) == json.loads(json.dumps(asked.to_dict(), allow_nan=False))
    assert json.loads(tuned.out) == json.loads(json.dumps(library.tune(LOG).to_dict()))


def test_errors_are_the_same_words_under_the_name_of_each(vireton, setup_file):
    said = vireton("fly", setup_file, "--sight-in", "0 yd").err.strip()
    with pytest.raises(library.InputProblem) as told:
        library.fly(setup_file, sight_in="0 yd")
    assert said == f"vireton: {told.value}".replace("sight_in", "--sight-in")


def test_the_page_is_printed_in_the_units_asked_for(vireton, setup_file):
    us = vireton("fly", setup_file, "--draws", "8")
    assert us.code == 0
    assert "100 yd" in us.out
    assert "-0.00 " not in us.out
    metric = vireton("fly", setup_file, "--draws", "8", "--units", "metric")
    assert "100 m" in metric.out
    assert "up, cm" in metric.out


@pytest.mark.parametrize("command", ["fly", "rest"])
def test_a_light_arrow_is_named_before_any_result(command, vireton, edited):
    light = edited(('# mass = "415 gr"', 'mass = "280 gr"'), ("280 fps", "300 fps"))
    done = vireton(command, light, "--draws", "8", "--json")
    assert done.code == 0
    assert "DANGER" in done.err
    assert "DANGER" in json.loads(done.out)["warnings"][0]


def test_a_picture_is_written(vireton, setup_file, tmp_path):
    picture = tmp_path / "rest.svg"
    done = vireton("rest", setup_file, "--right", "1/32in", "--draws", "8", "--plot", picture)
    assert done.code == 0
    assert b"<svg" in picture.read_bytes()


def test_what_must_be_given_is_asked_for(vireton, setup_file):
    done = vireton("marks", setup_file)
    assert done.code == 2
    assert "--radius" in done.err
    repeated = vireton(
        "marks", setup_file, "--radius", "33 in", "--shot", "20yd=1in", "--shot", "?"
    )
    assert repeated.err.startswith('vireton: --shot: "?" is not understood')


def test_help_names_options_ranges_and_an_example(vireton):
    said = " ".join(vireton("fly", "--help").out.split())
    for words in ("--sight-in", "DISTANCE", "8<=x<=10000", "[arrow.broadhead]", "Example: vireton"):
        assert words in said
