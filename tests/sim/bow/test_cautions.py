"""The safety gate."""

from dataclasses import replace

from demo import GRAIN, MAPLE, MILL, POUND
from vireton.bow.arrow import assemble
from vireton.bow.cautions import cautions, planing, too_light

HEAVY = assemble(MAPLE)


def of_mass(grains):
    return assemble(replace(MAPLE, measured_mass=grains * GRAIN))


def test_a_hunting_arrow_is_not_remarked_on():
    assert cautions(MILL, HEAVY) == ()


def test_under_five_grains_per_pound_is_dangerous():
    text = too_light(MILL, of_mass(299.0))
    assert "DANGER" in text
    assert "4.9 grains per pound" in text
    assert "300 gr" in text
    assert too_light(MILL, of_mass(300.1)) is None


def test_the_makers_limit_counts_if_it_is_higher():
    strict = replace(MILL, minimum_mass_per_draw_weight=7.0 * GRAIN / POUND)
    assert "maker's limit of 7.0" in too_light(strict, HEAVY)
    loose = replace(MILL, minimum_mass_per_draw_weight=3.0 * GRAIN / POUND)
    assert "usual minimum of 5.0" in too_light(loose, of_mass(299.0))


def test_a_margin_that_may_turn_negative_is_named():
    assert planing(0.08, 0.01) == []
    (may,) = planing(0.08, -0.01)
    (does,) = planing(-0.02, -0.05)
    assert "may plane" in may
    assert "PLANES" in does
    for text in (may, does):
        assert "Do not shoot it" in text
