"""Tuning logs from Python."""

import pytest

import vireton
from vireton.job import read_log
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
    assert told["advice"] == tuned.advice.verdict
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


def test_a_wider_tolerance_is_sooner_met(log, tuned):
    wide = vireton.tune(log, tolerance="6 in")
    assert wide.advice.tolerance == pytest.approx(6 * INCH)
    assert wide.advice.probability_inside > tuned.advice.probability_inside


def test_the_page_says_what_to_do_first_and_how_to_shoot_last(tuned):
    words = tuned.words(US)
    assert words[0].startswith("Mill bow, 4 rounds; the rest stands left 3/32 in")
    assert "CANNOT TELL YET" in words[1]
    assert "backstop" in words[-1]
    known, left = tuned.tables(US)
    assert known.cells[-1][0] == "rest right turns the nose right"
    assert [row[0] for row in left.cells] == ["40 yd", "60 yd", "100 yd"]


def test_picture_and_name(tuned):
    assert tuned.figure().axes
    assert repr(tuned).startswith("<Tuned Mill bow, ")


def test_what_cannot_be_is_refused(log, tmp_path):
    with pytest.raises(vireton.InputProblem, match='tolerance: "9 in" is outside'):
        vireton.tune(log, tolerance="9 in")
    with pytest.raises(vireton.InputProblem, match="no such log"):
        vireton.tune(tmp_path / "none.toml")
