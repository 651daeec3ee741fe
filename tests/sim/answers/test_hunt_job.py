"""What the card takes from a job."""

import numpy as np
import pytest

import vireton
from vireton.answers.hunt_job import Left, left_by, shooter_of, with_usual_broadhead


@pytest.fixture(scope="module")
def tuned(pytestconfig):
    return vireton.tune(pytestconfig.rootpath / "examples" / "mill_log.toml")


def test_the_usual_broadhead_weighs_what_the_point_weighs():
    setup = vireton.load()
    armed = with_usual_broadhead(setup)
    assert armed.parts.broadhead.mass == setup.parts.point.mass
    assert armed.parts.broadhead.blades.count == 3
    assert armed.bow is setup.bow


def test_a_shooter_is_what_the_tuning_says(tuned):
    found = shooter_of(tuned)
    assert found.low < found.sd < found.high
    assert found.sd == tuned.turn.spread.sd * tuned.turn.scatter
    assert found.arrows == 26
    assert found.farthest == pytest.approx(18.288)


def test_the_launch_that_is_left_gives_the_separation_that_is_left(tuned):
    """Flown anew, not by the tuning's own formulas: bare beside fletched at 20 yd."""
    launch = left_by(tuned).middle
    flights = vireton.fly(tuned.question.setup, "20 yd", draws=8, **launch)
    rows = flights.to_dict()["flights"]
    apart = [rows["bare"][0][key] - rows["fletched"][0][key] for key in ("right_in", "up_in")]
    # what this bow's bare shaft does by itself, by its log, is in no launch
    (left,) = vireton.tune(tuned.question.log, distances="20 yd").left
    assert apart == pytest.approx([float(x) / 0.0254 for x in left.separation[0]], abs=0.35)


def test_what_a_launch_leaves_open_goes_with_its_spread_in_its_own_direction():
    random = np.random.default_rng(1)
    rates = 0.1 * random.standard_normal(4000) + 0.2 + 1j * (0.01 * random.standard_normal(4000))
    found = Left(rates, np.zeros(4000, complex)).beside(np.array([1.0, 2.0]), np.zeros(2))
    assert found.shape == (2, 2, 2)
    low, high = found
    # nine tenths of a normal lie within 1.645 of its standard deviations (any table)
    assert high[:, 0] == pytest.approx([0.1645, 0.329], rel=0.05)
    assert low[:, 0] == pytest.approx([-0.1645, -0.329], rel=0.05)
    assert high[:, 1] == pytest.approx([0.01645, 0.0329], rel=0.05)
