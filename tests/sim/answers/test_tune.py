"""Tuning logs from Python."""

import math

import numpy as np
import pytest

import vireton
from vireton.answers.tune import Tune
from vireton.answers.tune_words import chance, unknown_rows
from vireton.bow.setting import BowSetting
from vireton.job import NewRound, append_round, create_log, read_log
from vireton.tuning.observations import Looked, Tear
from vireton.tuning.unknowns import NAMES
from vireton.units.display import US

INCH = 0.0254


@pytest.fixture(scope="module")
def log(pytestconfig):
    return pytestconfig.rootpath / "examples" / "mill_log.toml"


@pytest.fixture(scope="module")
def tuned(log):
    return vireton.tune(log)


def test_a_read_log_is_the_same_as_its_file(log, tuned):
    assert vireton.tune(read_log(log)).to_dict() == tuned.to_dict()


def test_advice_is_in_si_and_its_json_in_inches(tuned):
    told = tuned.to_dict()
    assert told["advice"] == {"shoot": "shoot_more"}.get(tuned.advice.verdict, tuned.advice.verdict)
    assert told["move_up_in"] * INCH == pytest.approx(tuned.advice.move.rest_up)
    assert told["posterior"]["probability_rest_right_turns_nose_right"] == pytest.approx(
        tuned.posterior.probability_right
    )


def test_rows_hold_their_mean(log):
    tuned = vireton.tune(log, distances="50 yd")
    (row,) = tuned.rows()
    low, high = row["separation_right_in_interval_95"]
    assert low < row["separation_right_in"] < high
    assert row["distance_yd"] == pytest.approx(50)
    left = tuned.to_dict()["left"][0]["separation_in"]
    assert left["mean"][0] == pytest.approx(row["separation_right_in"])


def test_what_is_known_is_said_in_its_unit(tuned):
    rows = {name: value for name, value, _ in unknown_rows(tuned)}
    theta = tuned.turn.belief.theta
    for name, key, unit in (
        ("yaw at the start, °", "angle_right", math.degrees(1.0)),
        ("pitch rate at the start, rad/s", "rate_up", 1.0),
        ("sight, up, mrad", "sight_up", 1e3),
    ):
        drawn = theta[:, NAMES.index(key)] * unit
        mean, low, _, high = rows[name].replace("(", "").replace(")", "").split()
        expected = (drawn.mean(), *np.percentile(drawn, [2.5, 97.5]))
        assert [float(one) for one in (mean, low, high)] == pytest.approx(expected, abs=0.06)


def test_a_wider_tolerance_is_sooner_met(log, tuned):
    wide = vireton.tune(log, tolerance="3 in")
    assert wide.to_dict()["tolerance_in"] == pytest.approx(3.0)
    assert wide.inside > tuned.inside


def test_costs_are_those_of_the_setup(log):
    question = Tune.read({"log": log})
    assert question.tuner.costs == question.setup.costs
    assert question.tuner.costs.inch_left == pytest.approx(150.0)


def test_the_page_says_what_to_do_first_and_where_the_bow_stands_last(log, tuned):
    words = tuned.words(US)
    assert words[0].startswith("Rest ")
    assert words[-1] == "Mill bow, 4 rounds. The rest is 3/32 in farther left than at the start"
    # how to shoot safely was said when the job was new
    assert not any("backstop" in line for line in words)
    assert list(tuned.tables(US)) == []
    why = vireton.tune(log, why=True)
    known, left = why.tables(US)
    assert known.cells[-1][0] == "rest right turns the nose right"
    assert [row[:2] for row in left.cells[:2]] == [
        ("40 yd", "bare − fletched"),
        ("40 yd", "fletched"),
    ]
    assert [row[0] for row in left.cells[::2]] == ["40 yd", "60 yd", "100 yd"]
    assert any("what your arrows have shown of this bow" in line for line in why.words(US))


@pytest.mark.parametrize(
    ("probability", "said"),
    [(1.0, "99 in 100"), (0.95, "19 in 20"), (0.9, "9 in 10"), (0.5, "5 in 10"), (0.01, "1 in 100"),
     (0.05, "1 in 20"), (0.08, "1 in 10")],
)  # fmt: skip
def test_chances_as_people_say_them(probability, said):
    assert chance(probability) == said


def test_a_look_says_what_to_check_and_what_to_type(tmp_path, log):
    """A bare tear that doubles after a move which should have closed it (invented)."""
    path = tmp_path / "log.toml"
    create_log(path, log.parent / "mill_bow.toml")
    for up, size in ((0.0, 0.5), (3.0, 0.75)):
        tears = tuple(Tear("bare", 1.8288, 0.0, size * INCH) for _ in range(3))
        append_round(path, NewRound(tears, move=BowSetting(0.0, up * INCH / 32)), "us")
    told = vireton.tune(path)
    assert told.advice.verdict == "look"
    said = " ".join(told.words(US))
    assert "the rest went the other way in round 2" in said
    assert "Check: measure where the rest stands now" in said
    assert "vireton record log.toml --looked 'reversed 2 yes'" in said
    append_round(path, NewRound((Looked("reversed", 2, True),)), "us")
    then = vireton.tune(path)
    assert then.advice.verdict == "move"
    assert then.advice.move.rest_up > 3 * INCH / 32


def test_picture_and_name(tuned):
    assert tuned.figure().axes
    assert repr(tuned).startswith("<Tuned Mill bow, ")


def test_what_cannot_be_is_refused(log, tmp_path):
    with pytest.raises(vireton.InputProblem, match='tolerance: "9 in" is outside'):
        vireton.tune(log, tolerance="9 in")
    with pytest.raises(vireton.InputProblem, match="no such job"):
        vireton.tune(tmp_path / "none.toml")


def test_measuring_is_offered_with_its_minutes_and_a_way_on(tmp_path):
    from vireton.setup import template_text

    setup = tmp_path / "bow.toml"
    setup.write_text(template_text() + "\n[costs]\nminute = 0.0\n", encoding="utf-8")
    path = create_log(tmp_path / "job.toml", setup).path
    append_round(path, NewRound((Tear("bare", 1.8288, -0.4 * INCH, 0.2 * INCH),)))
    tuned = vireton.tune(path)
    assert tuned.advice.verdict == "measure"
    told = tuned.to_dict()
    assert told["advice"] == "measure"
    assert told["measurement"] == tuned.advice.bench.key
    words = " ".join(tuned.words(US))
    assert f"{tuned.advice.bench.minutes:.0f} minutes: that tells more than arrows do" in words
    assert "vireton measure bow.toml" in words
    assert "Or shoot" in words


def test_nothing_is_measured_where_nothing_is_advised(tuned):
    assert tuned.to_dict()["measurement"] is None


def test_what_a_look_over_did_not_pass_is_warned_of(tmp_path, pytestconfig):
    path = tmp_path / "job.toml"
    bow = pytestconfig.rootpath / "examples" / "mill_bow.toml"
    create_log(path, bow)
    append_round(path, NewRound((Tear("bare", 6 * 12 * INCH, 0.0, 0.01),)), "us")
    assert vireton.tune(path).to_dict()["warnings"] == []
    append_round(path, NewRound(look_over={"limbs": "cracked"}), "us")
    with pytest.warns(vireton.Caution, match="limbs cracked"):
        tuned = vireton.tune(path)
    (said,) = tuned.to_dict()["warnings"]
    assert said.endswith("before anybody draws this bow: limbs cracked.")
