"""One question: read from text or numbers, asked from Python, refused in words."""

import inspect
from dataclasses import replace

import pytest

import vireton
from vireton.answers.fly import Flights, Fly
from vireton.answers.question import about, function_of

INCH = 0.0254


def test_what_is_not_given_is_what_is_usual():
    read = Fly.read({"setup": vireton.load()})
    assert len(read.distances) == 10
    assert read.distances[0] == pytest.approx(9.144)
    assert (read.right, read.wind, read.draws) == (0.0, None, 64)
    metric = Fly.read({"setup": vireton.load()}, system="metric")
    assert metric.distances[0] == 10.0


def test_errors_name_the_field_as_the_caller_spells_it():
    given = {"setup": vireton.load(), "sight_in": "0 yd"}
    with pytest.raises(vireton.InputProblem, match=r'^sight_in: "0 yd" is outside'):
        Fly.read(given)
    with pytest.raises(vireton.InputProblem, match=r'^--sight-in: "0 yd" is outside'):
        Fly.read(given, spelled=lambda name: "--" + name.replace("_", "-"))


def test_a_file_that_cannot_be_read_names_itself():
    with pytest.raises(vireton.InputProblem, match=r"^nowhere\.toml: there is no such file"):
        Fly.read({"setup": "nowhere.toml"})


def test_the_function_has_the_fields_as_arguments_and_says_their_ranges():
    function = function_of(Fly, Flights)
    parameters = inspect.signature(function).parameters
    assert list(parameters) == list(about(Fly))
    assert parameters["distances"].kind is inspect.Parameter.POSITIONAL_OR_KEYWORD
    assert parameters["right"].kind is inspect.Parameter.KEYWORD_ONLY
    assert function.__name__ == "fly"
    assert "right: Rest moved right (minus: left), -1/2 in to 1/2 in." in function.__doc__
    with pytest.raises(TypeError, match="unexpected keyword"):
        function(vireton.load(), sideways="1 in")


def test_what_can_hurt_is_a_caution_and_in_the_json():
    setup = vireton.load()
    light = replace(setup, parts=replace(setup.parts, measured_mass=0.01))
    with pytest.warns(vireton.Caution, match="DANGER"):
        flights = vireton.fly(light, "20 yd", draws=8)
    assert flights.to_dict()["warnings"] == list(flights.question.warnings) != []
