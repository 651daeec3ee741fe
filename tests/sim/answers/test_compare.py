"""Arrows side by side from Python."""

from dataclasses import replace

import pytest

import vireton
from vireton.answers.compare import FIGURES
from vireton.studies.arrow_figures import ArrowFigures

GRAIN = 6.479891e-5


def test_every_figure_has_a_key_of_its_own():
    assert set(FIGURES) == set(ArrowFigures.__dataclass_fields__)
    assert len({one.key for one in FIGURES.values()}) == len(FIGURES)


@pytest.fixture(scope="module")
def points(pytestconfig):
    file = pytestconfig.rootpath / "examples" / "mill_bow.toml"
    return vireton.compare_arrows(file, vary="point.mass=100,125 gr", distances="60 yd", draws=8)


def test_a_heavier_point_is_that_much_heavier(points):
    assert points[1].differences["mass"].nominal / GRAIN == pytest.approx(25.0)
    first, second = points.rows()
    assert second["mass_grains"] - first["mass_grains"] == pytest.approx(25.0)
    assert second["mass_grains_verdict"] == "higher"
    assert second["drop_in_verdict"] == "higher"
    assert repr(points) == "<Comparison of point.mass 100 gr, point.mass 125 gr>"


def test_setups_may_be_given_as_they_are():
    setup = vireton.load()
    more = replace(setup.parts.vanes, count=4)
    both = vireton.compare_arrows(
        setup, replace(setup, parts=replace(setup.parts, vanes=more)), distances="60 yd", draws=8
    )
    assert both[1].verdict("settling") == "lower"
    assert [one.contender.label.rsplit(" ", 1)[1] for one in both.arrows] == ["(1)", "(2)"]


@pytest.mark.parametrize(
    ("setups", "given", "says"),
    [
        ((), {}, "one arrow alone"),
        (("examples/mill_bow.toml",), {"vary": "vanes.count=3"}, "one arrow alone"),
        (("examples/mill_bow.toml",), {"vary": "sight.sight_in=20,30 yd"}, "changes nothing here"),
        (("examples/mill_bow.toml",), {"vary": "vanes.cuont=3,4"}, "is no key"),
        (
            ("examples/mill_bow.toml",),
            {"vary": "vanes.count=3,4", "distances": "1500 yd"},
            "never reaches",
        ),
    ],
)
def test_what_cannot_be_compared_is_refused(setups, given, says, monkeypatch, pytestconfig):
    monkeypatch.chdir(pytestconfig.rootpath)
    with pytest.raises(vireton.InputProblem, match=says):
        vireton.compare_arrows(*setups, draws=8, **given)


def test_a_sweep_needs_the_file():
    with pytest.raises(vireton.InputProblem, match="reads the setup's file"):
        vireton.compare_arrows(vireton.load(), vary="vanes.count=3,4")
