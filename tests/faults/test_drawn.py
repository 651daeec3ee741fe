"""Bows drawn from what a setup file may hold: every question is answered or refused in words."""

import random
import tomllib
from pathlib import Path

import numpy as np
import pytest

from faults import drawn as module
from faults.drawn import ask, drawn, drawn_options
from faults.drawn_bows import drawn_bow, drawn_log
from vireton.answers.broadhead import AimBroadhead
from vireton.answers.fly import Fly
from vireton.answers.holds import FindHolds
from vireton.studies.holds import answer_holds
from vireton.units.display import US
from vireton.units.numbers import YARD

FOUND = Path(__file__).parent / "found"


def test_every_question_of_drawn_bows_is_answered_or_refused_in_words(
    monkeypatch: pytest.MonkeyPatch, warm_tuner: None
) -> None:
    monkeypatch.setattr(module, "USUAL_DRAWS", 0.0)
    reached, tallies = drawn(3, 8)
    assert reached == 3
    assert not any(tally.bugs for tally in tallies.values()), tallies
    answered = [name for name, tally in tallies.items() if tally.counts["accepted"]]
    assert len(answered) > 6


def test_the_same_seed_draws_the_same() -> None:
    one, other = random.Random(5), random.Random(5)
    for dice in (one, other):
        dice.drawn = [  # type: ignore[attr-defined]
            (drawn_bow(dice), drawn_log(dice, "bow.toml"), drawn_options(dice, Fly))
            for _ in range(20)
        ]
    assert one.drawn == other.drawn  # type: ignore[attr-defined]
    bows = [tomllib.loads(bow) for bow, _, _ in one.drawn]  # type: ignore[attr-defined]
    assert len({bow["bow"]["draw_weight"] for bow in bows}) > 10


def test_a_broadhead_for_which_other_vanes_are_not_found(warm_kernel: None) -> None:
    given = {"setup": FOUND / "light_broadhead.toml", "draws": 8, "pitch_rate": "0.255319 rad/s"}
    ask(AimBroadhead, given, "us", picture=True)
    said = " ".join(AimBroadhead.read(given).answer().words(US))
    assert "other vanes are not compared: some do not carry the arrow to 40 yd" in said


def test_a_sight_setting_that_does_not_carry_over_a_slope_is_none(warm_kernel: None) -> None:
    question = FindHolds.read({"setup": FOUND / "light_bow.toml"})
    found = answer_holds(question.rig, [60 * YARD, 100 * YARD], question.wanted, {}, draws=1)
    known = [np.isfinite(one.shoot_as.nominal).tolist() for one in found.slopes]
    assert known == 3 * [[True, True]] + 3 * [[True, False]]


@pytest.mark.parametrize(
    ("harm", "told"),
    [
        (lambda _: [1.0].index(2.0), "ValueError"),
        (lambda _: ["moves the point nan in"], "AssertionError"),
    ],
)
def test_bugs_are_found(monkeypatch: pytest.MonkeyPatch, harm, told, warm_kernel: None) -> None:
    monkeypatch.setattr(module, "_texts", harm)
    _, tallies = drawn(20, 3, only=["CheckRules"])
    (bug,) = tallies["CheckRules"].bugs
    assert bug.startswith(told)
