"""Limits against numbers, with their measuring errors."""

from dataclasses import replace

import pytest

from demo import CONDITIONS, FPS, GRAIN, MAPLE, MILL, POUND, SIGHT, mill_rig
from vireton.rig import assemble_rig
from vireton.studies.rules import Rule, compare_rules

FOOT_POUND = 0.3048 * POUND
SPEEDS = (278 * FPS, 282 * FPS)


def outcome(limit, bound, rig=None):
    rule = Rule("a rule", "a place", "a date", {limit: bound})
    (found,) = compare_rules(rig or mill_rig(), (rule,), SPEEDS)
    assert found.low <= found.value <= found.high
    return found.outcome


# 60 lbf, 414.7 gr by its parts, 280 fps: 72.2 ft·lbf (414.7 · 280² / 450 437), 6.9 gr/lbf


@pytest.mark.parametrize(
    ("limit", "meets", "close", "fails"),
    [
        ("least_energy", 65 * FOOT_POUND, 72.5 * FOOT_POUND, 80 * FOOT_POUND),
        ("least_arrow_mass", 400 * GRAIN, 416 * GRAIN, 430 * GRAIN),
        ("least_mass_per_draw_weight", 5 * GRAIN / POUND, 6.9 * GRAIN / POUND, 8 * GRAIN / POUND),
        ("least_draw_weight", 40 * POUND, 60 * POUND, 62 * POUND),
        ("most_draw_weight", 62 * POUND, 60 * POUND, 40 * POUND),
        ("most_speed", 300 * FPS, 281 * FPS, 270 * FPS),
        ("most_let_off", 0.85, 0.80, 0.65),
        ("most_shaft_diameter", 9.3e-3, 0.246 * 0.0254, 5e-3),
    ],
)
def test_clear_of_the_limit_or_within_its_error(limit, meets, close, fails):
    assert outcome(limit, meets) == "meets"
    assert outcome(limit, close) == "too close to tell"
    assert outcome(limit, fails) == "fails"


def test_the_energy_and_its_corners_by_hand():
    rule = Rule("a", "b", "c", {"least_energy": 1.0})
    weighed = replace(MAPLE, measured_mass=420 * GRAIN)
    rig = assemble_rig(MILL, weighed, CONDITIONS, SIGHT)
    (found,) = compare_rules(rig, (rule,), SPEEDS)
    # 420 gr at 280 fps is 73.1 ft·lbf; a grain and 2 fps either way
    assert found.value / FOOT_POUND == pytest.approx(73.1, abs=0.05)
    assert found.low / FOOT_POUND == pytest.approx(419 * 278**2 / 450_437, rel=1e-5)
    assert found.high / FOOT_POUND == pytest.approx(421 * 282**2 / 450_437, rel=1e-5)


def test_a_weighed_arrow_is_surer_than_one_that_is_added_up():
    weighed = assemble_rig(MILL, replace(MAPLE, measured_mass=414.7 * GRAIN), CONDITIONS, SIGHT)
    assert outcome("least_arrow_mass", 412 * GRAIN) == "too close to tell"
    assert outcome("least_arrow_mass", 412 * GRAIN, weighed) == "meets"


def test_at_the_very_limit_nothing_is_claimed():
    rig = mill_rig()
    for limit in ("least_draw_weight", "most_draw_weight"):
        for sign in (-1.0, 1.0):
            edge = rig.bow.draw_weight + sign * POUND
            assert outcome(limit, edge) == "too close to tell"


def test_every_limit_of_every_rule_in_order():
    rules = (
        Rule("one", "x", "y", {"most_speed": 1.0, "least_energy": 1.0}),
        Rule("two", "x", "y", {"most_let_off": 0.5}),
    )
    found = compare_rules(mill_rig(), rules, SPEEDS)
    assert [(one.rule.name, one.limit) for one in found] == [
        ("one", "most_speed"),
        ("one", "least_energy"),
        ("two", "most_let_off"),
    ]
