"""The hunter's card: what it takes from other answers, whatever bow or job it is of."""

from dataclasses import replace

import numpy as np
import pytest

import vireton
from hunting import FAR, card_of, job_of
from vireton.answers.hunt import INSIDE, PlanHunt, Stays, farthest_inside
from vireton.answers.table import Span
from vireton.units.numbers import INCH, YARD

CLOSE = {"rel": 1e-9, "abs": 1e-12}


@pytest.fixture(scope="module")
def examples(pytestconfig):
    return pytestconfig.rootpath / "examples"


@pytest.fixture(scope="module")
def mill(examples):
    return card_of(examples / "mill_broadhead.toml")


@pytest.fixture(scope="module")
def job(examples, tmp_path_factory):
    return card_of(job_of(examples, tmp_path_factory.mktemp("shop")))


def near(rows, key, others, other):
    assert [row[key] for row in rows] == pytest.approx([row[other] for row in others], **CLOSE)


def agrees_with_its_sources(card, setup):
    """Pins, drift, slopes and groups are those of the commands that they come from."""
    rows = card.rows()
    marks = vireton.find_marks(setup, "33 in", distances=FAR, draws=8).rows()
    holds = vireton.find_holds(setup, FAR, slopes="-30,-15,15,30 deg", draws=8).rows()
    half = vireton.find_holds(setup, FAR, wind_speed="5 mph", draws=8).rows()
    near(rows, "pin_in", marks, "mark_in")
    near(rows, "drift_in", holds, "wind_from_left_right_in")
    near(rows, "drift_at_half_the_wind_in", half, "wind_from_left_right_in")
    for row, other in zip(rows, holds, strict=True):
        near(row["slopes"], "high_in", other["slopes"], "up_in")
        near(row["slopes"], "slope_deg", other["slopes"], "slope_deg")


def test_it_agrees_with_marks_holds_and_broadhead(mill, examples):
    file = examples / "mill_broadhead.toml"
    agrees_with_its_sources(mill, file)
    aim = vireton.aim_broadhead(file, FAR, draws=8).rows()
    near(mill.rows(), "broadhead_right_in", aim, "separation_right_in")
    near(mill.rows(), "broadhead_up_in", aim, "separation_up_in")
    assert mill.rows()[2]["broadhead_up_in_range"] == aim[2]["separation_up_in_range"]


def test_it_agrees_with_scatter(mill, examples):
    (six, eight) = mill.to_dict()["circles"]
    assert six["circle_in"] == pytest.approx(6.0)
    for one in (six, eight):
        far, target = f"{one['farthest_yd']} yd", f"{one['circle_in']} in"
        shots = vireton.scatter_shots(
            examples / "mill_broadhead.toml", far, target=target, arrows=4096, draws=8
        )
        # a yard farther or nearer would be off by two points
        assert float(shots["fletched"].hits.value[0]) == pytest.approx(INSIDE, abs=0.01)
    assert not six["and_beyond"]


def test_a_left_handed_bow_agrees_too_and_its_head_is_a_common_one(examples):
    file = examples / "orchard_bow.toml"
    setup = vireton.load(file)
    assert setup.bow.hand == "left"
    card = card_of(file)
    agrees_with_its_sources(card, file)
    assert card.to_dict()["bow"] == "Orchard bow"
    told = " ".join(card.to_dict()["stand_ins"])
    assert "no [arrow.broadhead]" in told
    assert "may plane" in told, "this light arrow cannot steer it"


def test_a_job_has_its_own_groups_and_its_launch(job, mill):
    told = job.to_dict()
    assert told["from"] == "job"
    assert "by the 26 arrows of the job's groups" in told["groups"]
    assert mill.to_dict()["from"] == "setup"
    # a tight shooter: farther than the usual one
    assert told["circles"][0]["farthest_yd"] > mill.to_dict()["circles"][0]["farthest_yd"] + 10.0
    # pins, wind and slopes are the setup's
    assert [row["drift_in"] for row in job.rows()] == [row["drift_in"] for row in mill.rows()]
    assert job.rows()[2]["broadhead_up_in"] != mill.rows()[2]["broadhead_up_in"]


def test_its_broadhead_is_the_command_s_from_the_launch_that_the_job_shows(job, examples):
    launch = job.question.left.middle
    aim = vireton.aim_broadhead(examples / "mill_broadhead.toml", FAR, draws=8, **launch)
    near(job.rows(), "broadhead_right_in", aim.rows(), "separation_right_in")
    near(job.rows(), "broadhead_up_in", aim.rows(), "separation_up_in")
    # and the launch's own doubt makes every band wider
    for row, other in zip(job.rows(), aim.rows(), strict=True):
        for mine, theirs in (("broadhead_right", "separation_right"),):
            (low, high), (inner, outer) = row[f"{mine}_in_range"], other[f"{theirs}_in_range"]
            assert low < inner and outer < high


def test_a_rest_that_was_moved_since_moves_the_broadhead(job, examples, tmp_path):
    """Nothing was shot after the last move: what it does is what the job expects of it."""

    def moved(text):
        last = '[[round]]\nnumber = 5\ndate = 2026-04-13\nrest_right = "-3/32 in"\n'
        return text + "\n" + last + 'rest_up = "1/8 in"\n'

    after = card_of(job_of(examples, tmp_path, changed=moved))
    # rest up: the nose goes down less, or up; the broadhead goes with it, more than the field point
    assert after.rows()[0]["broadhead_up_in"] > job.rows()[0]["broadhead_up_in"] + 0.2
    assert [one["pin_in"] for one in after.rows()] == [one["pin_in"] for one in job.rows()]


def test_a_job_without_groups_takes_the_setup_s_scatter(examples, tmp_path):
    def paper_only(text):
        return text.partition("[[round.group]]")[0]

    card = card_of(job_of(examples, tmp_path, changed=paper_only))
    assert card.question.shooter is None
    told = card.to_dict()
    assert told["groups"].startswith("by [scatter] of the setup file")
    assert any("usual shooter" in one for one in told["stand_ins"])


def test_without_scatter_and_broadhead_it_says_what_stands_in(examples):
    told = card_of(examples / "mill_bow.toml").to_dict()
    said = " ".join(told["stand_ins"])
    assert "no [arrow.broadhead] in the setup file: a common fixed head of 100 gr stands in" in said
    assert "the groups are those of a usual shooter" in said
    assert "taken to stand 33 in from the peep" in said
    assert set(told["stand_ins"]) <= set(told["not_to_trust"])


def test_what_is_given_is_not_called_missing(examples):
    setup = vireton.load(examples / "mill_broadhead.toml")
    given = replace(setup, scatter=replace(setup.scatter, aim_right=1e-3, aim_up=1e-3))
    assert card_of(given, radius="30 in").to_dict()["stand_ins"] == []


def test_an_arrow_without_vanes_has_no_broadhead(examples):
    setup = vireton.load(examples / "mill_bow.toml")
    card = card_of(replace(setup, parts=replace(setup.parts, vanes=None)), distances="20 yd")
    assert card.broadhead is None
    assert "broadhead_up_in" not in card.rows()[0]
    assert "on a shaft without vanes it flies anywhere" in card.to_dict()["stand_ins"][0]


def test_its_own_broadhead_warns_and_the_stand_in_does_not(examples):
    setup = vireton.load(examples / "orchard_bow.toml")
    assert PlanHunt.read({"bow": setup, "distances": "20 yd", "draws": 8}).warnings == ()
    from vireton.answers.hunt_job import with_usual_broadhead

    own = with_usual_broadhead(setup)
    with pytest.warns(vireton.Caution, match="PLANES"):
        vireton.plan_hunt(own, distances="20 yd", draws=8)


@pytest.mark.parametrize("sd", [1.0, 2.5])
def test_where_the_arrows_leave_a_circle(sd):
    """Round groups that grow with the distance: 1 − exp(−r² ÷ 2σ²) are inside r (any text)."""
    where = np.linspace(6, 60, 10) * YARD
    sigma = sd * INCH * where / (20 * YARD)
    hits = -np.expm1(-((3 * INCH) ** 2) / (2.0 * sigma**2))
    wanted = 3.0 / (sd * np.sqrt(2.0 * np.log(10.0))) * 20 * YARD
    assert farthest_inside(where, hits) == pytest.approx(wanted, rel=1e-6)


def test_arrows_that_never_leave_it_and_never_are_in_it():
    where = np.array([10.0, 20.0])
    assert farthest_inside(where, np.array([1.0, 0.95])) == np.inf
    assert farthest_inside(where, np.array([0.0, 0.0])) < 0.01
    far = Stays(0.15, Span(np.inf, 15.0, np.inf), 20.0)
    assert far.goes_on
    assert tuple(far.capped) == (20.0, 15.0, 20.0)


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({"circles": "1/4 in"}, 'circles: "1/4 in" is outside'),
        ({"distances": "1500 yd"}, "1500"),
        ({"radius": "2 in"}, "radius"),
    ],
)
def test_what_cannot_be_is_refused(given, says, examples):
    with pytest.raises(vireton.InputProblem, match=says):
        card_of(examples / "mill_bow.toml", **given)
