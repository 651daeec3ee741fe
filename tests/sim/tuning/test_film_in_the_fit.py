"""Films among what was seen: which unknowns they narrow, and which they leave."""

import numpy as np
import pytest
from bench import STEP, groups, tuner, unknowns
from filming import film

from vireton.bow.setting import BowSetting
from vireton.kernel.door import fly_many, release
from vireton.tuning.evidence import gathered
from vireton.tuning.predicting import predicted
from vireton.tuning.response import PLACES
from vireton.tuning.rounds import Round
from vireton.tuning.stories import Story, as_told
from vireton.tuning.surface import filmed
from vireton.tuning.unknowns import PLACE

TUNER = tuner()
FLOWN = TUNER.flown
SPREAD = 0.05


def spread_of(rounds: list[Round], name: str) -> float:
    belief = TUNER.turn(rounds).belief
    return float(np.std(belief.theta[:, PLACE[name]]))


def mean_of(rounds: list[Round], name: str) -> float:
    return float(np.mean(TUNER.turn(rounds).belief.theta[:, PLACE[name]]))


def test_the_formula_of_a_film_is_the_flight() -> None:
    """Rate and angle by differences of two flown states, a thousandth of a second apart."""
    theta = unknowns(rate_right=0.6, angle_right=0.004, rate_up=-0.4, angle_up=0.003)
    shot, place = FLOWN.shooter.shots["bare"], 0.85
    start = shot.start.copy()
    start[PLACES] += theta[
        [PLACE[f"{name}_{side}"] for name in ("rate", "angle", "sight") for side in ("right", "up")]
    ]
    planes = [place - 0.04, place, place + 0.04]
    flight = fly_many(
        release(start[None], FLOWN.shooter.rig.bow.brace_height), shot.body[None], planes, 0.0
    )
    axis, way = flight.states[0, :, 6:9], flight.states[0, :, 3:6]
    yaw = np.arctan2(axis[:, 2], axis[:, 0])
    pitch = np.arcsin(axis[:, 1])
    gone = flight.times[0, 2] - flight.times[0, 0]
    rate = complex(yaw[2] - yaw[0], pitch[2] - pitch[0]) / gone
    path = np.arctan2(way[1, 2], way[1, 0]) + 1j * np.arcsin(way[1, 1] / np.linalg.norm(way[1]))
    asked = [("bare", "film rate", place), ("bare", "film angle", place)]
    entries = FLOWN.planes(asked, (0.0, 0.0))
    value, _ = predicted(theta[None], entries, np.zeros((1, 2), complex), np.zeros((1, 2)))
    assert value[0, 0] == pytest.approx(rate, abs=0.01)
    assert value[0, 1] == pytest.approx(complex(yaw[1], pitch[1]) - path, abs=1e-4)


def test_later_adds_the_rate() -> None:
    rate, angle = filmed(FLOWN.shooter, "bare", 0.85)
    asked = [("bare", "film angle", 0.85)]
    found = FLOWN.planes(asked, (0.004,)).coefficients[0]
    assert found == pytest.approx(angle + 0.004 * rate)


def test_a_film_from_above_narrows_yaw_and_leaves_pitch() -> None:
    nothing = [Round(1)]
    above = [Round(1, BowSetting(), (film(0.0, 0.6),))]
    assert spread_of(above, "rate_right") < 0.6 * spread_of(nothing, "rate_right")
    assert spread_of(above, "rate_up") == pytest.approx(spread_of(nothing, "rate_up"), rel=0.05)
    beside = [Round(1, BowSetting(), (film(0.0, 0.6, "beside"),))]
    assert spread_of(beside, "rate_up") < 0.6 * spread_of(nothing, "rate_up")
    assert spread_of(beside, "rate_right") == pytest.approx(
        spread_of(nothing, "rate_right"), rel=0.05
    )


def test_two_films_tell_more_than_one() -> None:
    one = [Round(1, BowSetting(), (film(0.0, 0.6, error=1.0),))]
    two = [Round(1, BowSetting(), (*one[0].observations, film(0.0, 0.6, error=1.0, seed=2)))]
    assert spread_of(two, "rate_right") < spread_of(one, "rate_right")


def test_the_nose_that_was_filmed_turning_right_is_believed_to() -> None:
    for rate in (0.9, -0.9):
        seen = film(rate * 0.008, rate)
        rounds = [Round(1, BowSetting(), (seen, seen))]
        assert np.sign(mean_of(rounds, "rate_right")) == np.sign(rate)
        assert abs(mean_of(rounds, "rate_right")) > 0.5


def test_a_move_of_the_rest_filmed_on_both_sides_shows_which_way_the_bow_answers() -> None:
    for sign in (1.0, -1.0):
        rounds = [
            Round(1, BowSetting(), (film(0.0, 0.0), film(0.0, 0.0))),
            Round(2, BowSetting(3 * STEP, 0.0), (film(0.0, 1.5 * sign), film(0.0, 1.5 * sign))),
        ]
        right = TUNER.turn(rounds).posterior.probability_right
        assert right > 0.9 if sign > 0.0 else right < 0.1


def test_what_was_not_seen_has_nothing_to_do_with_what_was() -> None:
    rounds = [
        groups((1.0, 0.0), count=1),
        groups((1.0, 0.0), rest=(STEP, 0.0), number=2, count=1),
        Round(3, BowSetting(STEP, 0.0), (film(0.0, 0.4),)),
    ]
    seen = gathered(rounds, FLOWN, SPREAD)
    right, up = (np.linalg.inv(one[1].T @ one[1]) for one in seen.whiteners_by_axis)
    films = ~seen.typed
    assert films.sum() == 2
    assert np.abs(right[np.ix_(films, ~films)]).max() > 0.0  # one rest that went astray
    assert up[np.ix_(films, ~films)] == pytest.approx(0.0)
    assert up[np.ix_(films, films)] == pytest.approx(np.eye(2))


def test_without_films_both_axes_share_one_matrix() -> None:
    seen = gathered([groups((1.0, 0.0))], FLOWN, SPREAD)
    assert seen.whiteners_by_axis[0] is seen.whiteners_by_axis[1]
    assert seen.typed.all()


def test_a_film_is_no_number_that_somebody_typed_wrong() -> None:
    rounds = [groups((1.0, 0.5), count=1), Round(2, BowSetting(), (film(0.003, 0.4),))]
    seen = gathered(rounds, FLOWN, SPREAD)
    for kind in ("swapped", "decimal"):
        told = as_told(seen, Story(kind, 2))
        assert np.array_equal(told.values, seen.values)
        assert not np.array_equal(as_told(seen, Story(kind, 1)).values, seen.values)


def test_old_films_stay_apart_when_a_log_is_condensed() -> None:
    rounds = [
        Round(1, BowSetting(), (film(0.0, 0.4), film(0.0, 0.4))),
        groups((1.0, 0.0), number=2, count=1),
        groups((1.0, 0.0), number=3, count=1),
    ]
    seen = gathered(rounds, FLOWN, SPREAD)
    less = seen.condensed(9)
    assert less.count == seen.count - 2
    assert (~less.typed).sum() == 4


def test_degrees_of_freedom_are_axes_that_were_seen() -> None:
    posterior = TUNER.turn([Round(1, BowSetting(), (film(0.0, 0.4),))]).posterior
    assert posterior.readings[0].count == 2
