"""Films among the adviser's actions: who is asked for one, which, and what it is worth."""

from dataclasses import replace

import numpy as np
import pytest
from bench import AT, groups, tear, tuner, unknowns
from filming import film

from demo import INCH
from vireton.bow.setting import BowSetting
from vireton.tuning.advice import FILM_ERROR, FILMED_AT, NextShots, after_shots, loss_of
from vireton.tuning.costs import Costs
from vireton.tuning.outlook import worth
from vireton.tuning.rounds import Round

TUNER = tuner()
PHONE = replace(TUNER, costs=Costs(phone_on_stand=True))
TORN = [tear(unknowns(rate_right=0.5, rate_up=-0.2))]


def film_of(error: float, count: int = 2, view: str = "above") -> NextShots:
    return NextShots(f"film {view}", count, FILMED_AT, error)  # type: ignore[arg-type]


def test_without_a_phone_no_film_is_thought_of() -> None:
    assert TUNER.turn(TORN).advice.film is None


def test_with_a_phone_two_arrows_from_where_the_less_is_known() -> None:
    thought = PHONE.turn(TORN).advice.film
    assert thought is not None
    assert (thought.count, thought.error) == (2, FILM_ERROR)
    sure_up = [groups((1.0, 0.3), count=3), Round(2, BowSetting(), (film(0.0, 0.5, "beside"),) * 3)]
    left = PHONE.turn(sure_up).advice
    spread = np.std(left.now.real), np.std(left.now.imag)
    assert left.film is not None
    assert left.film.kind == ("film above" if spread[0] >= spread[1] else "film beside")


def test_who_has_filmed_has_a_phone_and_its_own_error() -> None:
    seen = [Round(1, BowSetting(), (film(0.0, 0.5, reading_error=0.3),))]
    turn = TUNER.turn(seen)
    assert turn.advice.film is not None
    assert turn.advice.film.error == pytest.approx(turn.seen.film_errors[0])
    assert turn.advice.film.error < FILM_ERROR


def test_better_films_and_more_of_them_are_worth_more() -> None:
    turn = TUNER.turn(TORN)
    left = turn.belief.left("clean", np.zeros(1, complex), AT)
    moves = np.array([0j, 0.03 * INCH, -0.03 * INCH, 0.06 * INCH, -0.06 * INCH])
    loss = loss_of(Costs(), turn.belief.left("clean", moves, AT))
    assert left.shape[1] == 1
    values = [
        after_shots(turn.belief, one, 0j, loss, 0.7 * INCH)
        for one in (film_of(0.05), film_of(0.3), film_of(0.3, 8), film_of(30.0))
    ]
    blind = float(loss.mean(axis=0).min())
    assert values[0] < values[1]
    assert values[2] < values[1]
    assert values[3] == pytest.approx(blind, abs=0.02 * blind)


def test_a_film_that_costs_nothing_and_errs_little_is_taken() -> None:
    fine = [Round(1, BowSetting(), (film(0.0, 0.9, error=0.2, reading_error=0.3),))]
    free = replace(TUNER, costs=Costs(film=0.01, tear=50.0, arrow=50.0))
    dear = replace(TUNER, costs=Costs(film=500.0))
    assert dear.turn(fine).advice.test.is_film is False
    taken = free.turn(fine).advice
    assert taken.test.is_film
    assert taken.test.cost(free.costs) == pytest.approx(0.02)


def test_its_worth_is_told_beside_the_others() -> None:
    turn = PHONE.turn(TORN)
    told = [one.test.kind for one in worth(PHONE, turn, (NextShots("tear", 1, 1.8288),))]
    assert sum(kind.startswith("film") for kind in told) == 1


def test_the_rate_that_a_film_would_show_is_that_of_the_belief() -> None:
    turn = TUNER.turn([Round(1, BowSetting(), (film(0.006, 0.9),) * 4)])
    rate = turn.belief.film_rate("bare", FILMED_AT, np.zeros(1, complex))[:, 0]
    assert float(np.mean(rate.real)) == pytest.approx(0.85, abs=0.3)
    assert float(np.std(rate.real)) < 0.4
