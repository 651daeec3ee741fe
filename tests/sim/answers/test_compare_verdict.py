"""The plain answer in front of a comparison."""

import numpy as np
import pytest

import vireton
from vireton.answers.compare_verdict import verdict_of, verdict_words
from vireton.studies.compare import Compared
from vireton.studies.figures import FIGURES
from vireton.uncertain import Banded
from vireton.units.display import METRIC, US
from vireton.units.numbers import INCH, YARD

NAN = float("nan")
WHERE = (20 * YARD, 60 * YARD)
AIM = 1.0 / (20 * 36)  # 1 in at 20 yd


class Labeled:
    def __init__(self, label):
        self.label = label


def arrow(label, first=10.0, **differences):
    """Differs by these, SI, with ends a tenth away; at a distance a third of it at the first.

    ``first``: what the first arrow has of everything.
    """
    found = {}
    for figure in FIGURES:
        ends = np.multiply(differences.get(figure.name, 0.0), (1.0, 0.9, 1.1))
        if figure.at_distance:
            found[figure.name] = Banded(*(np.array([end / 3.0, end]) for end in ends))
        else:
            found[figure.name] = Banded(*map(np.asarray, ends))
    own = {
        name: Banded(*(np.asarray(first + end) for end in (one.nominal, one.low, one.high)))
        for name, one in found.items()
    }
    return Compared(Labeled(label), own, found)


def read(*others, aim=AIM, display=US):
    found = verdict_of([arrow("plain"), *others], WHERE, aim)
    return found, verdict_words(found, display)


def test_better_at_a_price_says_both_what_decides_and_how_many_to_shoot():
    found, (answer, more) = read(
        arrow("tall", settling_distance=-20 * YARD, drift=1.0 * INCH, drop=2.0 * INCH)
    )
    assert found.answer == "yes"
    assert answer == (
        "Yes: tall steers better than plain, and clearly so: settles 20 yd (18 to 22) sooner. "
        "The price: at 60 yd 1.00 in (0.90 to 1.10) more wind drift, hits 2.0 in (1.8 to 2.2) "
        "lower."
    )
    # 3 in of aim at 60 yd against 2 in: 8 × (3 ÷ 2)²
    assert found.arrows == 18
    assert more.startswith("What decides: broadheads")
    assert "shoot 18 of each at 60 yd" in more


def test_the_other_way_round_wind_is_named_first():
    found, (answer, more) = read(arrow("low", settling_distance=20 * YARD, drift=-1.0 * INCH))
    assert answer.startswith("Yes: low drifts less than plain")
    assert "The price: settles 20 yd (18 to 22) later." in answer
    assert more.startswith("What decides: wind")
    assert found.arrows is None
    assert "shoot broadheads" in more


def test_of_what_goes_to_the_other_side_less_is_nearer_to_the_middle():
    changes = {"settling_distance": 20 * YARD, "yaw_rate_shift": 1.0 * INCH}
    found, (answer, _) = read(arrow("odd", first=-10.0, **changes))
    assert [one.is_better for one in found.clear] == [False, True]
    assert answer.startswith("Yes: odd steers better")


def test_drift_alone_needs_a_wind_to_show():
    _, (answer, more) = read(arrow("slick", drift=-1.0 * INCH))
    assert "The price" not in answer
    assert more == "Only a steady crosswind shows it: in still air they land alike."


def test_worse_in_all_that_is_clear_is_no():
    found, (answer, more) = read(arrow("long", drop=0.3 * INCH), display=METRIC)
    assert found.answer == "no"
    assert answer == (
        "No: long is no better than plain, and clearly so: at 54.86 m hits 0.76 cm (0.69 to 0.84) "
        "lower."
    )
    assert found.arrows == 800
    assert "more arrows than anybody shoots" in more


def test_a_difference_that_is_large_still_takes_two_of_each():
    found, _ = read(arrow("slow", drop=40.0 * INCH))
    assert found.arrows == 2


def test_nothing_clear_names_the_distances_and_what_would_show():
    found, (answer,) = read(arrow("same"))
    assert found.answer == "no_clear_difference"
    assert answer.startswith("No clear difference at 20 to 60 yd: plain and same steer, drift and")
    assert "a larger change would show" in answer


def test_a_band_that_holds_both_signs_is_open_and_not_alike():
    other = arrow("open")
    other.differences["drop"] = Banded(*(np.array([v, v]) for v in (0.0, -3.0 * INCH, 3.0 * INCH)))
    _, (answer,) = read(other)
    assert "Open is which drops more" in answer
    assert "measure" in answer


def test_what_is_clear_only_nearer_is_told_there():
    other = arrow("odd")
    other.differences["drift"] = Banded(
        *(np.array(v) * INCH for v in ((-1.0, 0.0), (-1.2, -3.0), (-0.8, 3.0)))
    )
    found, (answer, _) = read(other)
    assert [one.place for one in found.clear] == [0]
    assert "at 20 yd 1.0 in (0.8 to 1.2) less wind drift" in answer


def test_nothing_known_is_no_answer():
    found, (answer,) = read(
        arrow("x", settling_distance=NAN, yaw_rate_shift=NAN, drift=NAN, drop=NAN)
    )
    assert found.answer == "cannot_tell"
    assert answer.startswith("No answer: plain and x cannot be compared")


def test_of_several_the_best_in_each_is_named():
    found, (answer, _) = read(
        arrow("four", settling_distance=-10 * YARD, drop=1 * INCH),
        arrow("five", settling_distance=-20 * YARD, drop=2 * INCH),
    )
    assert found.answer == "yes"
    assert answer.startswith(
        "Yes: against plain, five (settles 20 yd (18 to 22) sooner) steers best; plain drops least."
    )
    assert "compare those two alone" in answer


def test_of_several_none_may_be_better():
    _, (answer, _) = read(arrow("four", drop=1 * INCH), arrow("five", drop=2 * INCH))
    assert answer == "No: none of the 2 is better than plain, and clearly so: plain drops least."


@pytest.fixture(scope="module")
def file(pytestconfig):
    return pytestconfig.rootpath / "examples" / "mill_bow.toml"


def test_two_same_setups_differ_in_nothing_clear(file):
    setup = vireton.load(file)
    both = vireton.compare_arrows(setup, setup, distances="20,60 yd", draws=8)
    assert both.verdict.answer == "no_clear_difference"
    assert both.page(US)[0].lines[0].startswith("No clear difference at 20 to 60 yd: ")
    assert both.to_dict()["verdict"] == {
        "answer": "no_clear_difference", "clear": [], "arrows_of_each": None,
    }  # fmt: skip


def test_clearly_larger_vanes_are_a_yes_in_words_and_json(file):
    both = vireton.compare_arrows(file, vary="vanes.height=0.5,0.8 in", distances="60 yd", draws=8)
    assert both.words(US)[0].startswith(
        "Yes: vanes.height 0.8 in steers better than vanes.height 0.5 in, and clearly so: settles "
    )
    told = both.to_dict()["verdict"]
    assert told["answer"] == "yes"
    assert told["clear"][0] == {
        "label": "vanes.height 0.8 in", "quality": "steers", "figure": "settling_distance",
        "distance_yd": None, "better": True,
    }  # fmt: skip
    assert {(one["quality"], one["distance_yd"], one["better"]) for one in told["clear"][1:]} == {
        ("drifts", 60.0, False), ("drops", 60.0, False)
    }  # fmt: skip
