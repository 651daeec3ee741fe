"""Other shafts on the same bow: question, answer, words."""

import pytest

import vireton
from vireton.units.display import METRIC, US

INCH = 0.0254


@pytest.fixture(scope="module")
def shafts():
    return vireton.compare_shafts(vireton.load(), [0.3 * INCH, "0.6 in"], draws=8)


def test_rows_are_flat_and_in_the_units_of_their_keys(shafts):
    first, second = shafts.rows()
    assert (first["spine_in"], second["spine_in"]) == pytest.approx((0.3, 0.6))
    assert first["bending_stiffness_n_m2"] == pytest.approx(8.487, abs=1e-3)
    assert first["rest_up_yaw_rate_rad_s"] == pytest.approx(float(shafts[0].yaw_rate.nominal[1]))
    assert first["rest_right_yaw_rate_rad_s"] > second["rest_right_yaw_rate_rad_s"]
    assert first["push_per_buckling_push"] < second["push_per_buckling_push"]
    assert not any(isinstance(value, dict) for key, value in first.items() if "shares" not in key)


def test_the_json_has_bands_inside_of_each_move(shafts):
    told = shafts.to_dict()
    assert told["move_in"] == 1.0 / 32.0
    assert told["draws"] >= 8  # at least so many: they are weighed
    weak = told["shafts"][1]
    low, high = weak["rest_up"]["separation_20yd_in_range"]
    assert low <= weak["rest_up"]["separation_20yd_in"] <= high
    (found,) = told["sideways_yaw_rate_is_zero_at"]
    assert 0.3 < found["spine_in"] < 0.6
    assert found["point_grains"] == pytest.approx(100.0)


def test_words_name_the_turning_point_and_the_load(shafts):
    said = " ".join(shafts.words(US))
    for words in (
        "turns round at a spine of about",
        "what buckles the shaft",
        "touchily",
        "this bow must show you",
        "most bows like yours",
        "rest up, bare − fletched at 20 yd, by spine: 0.300 in: ",
    ):
        assert words in said


def test_the_table_marks_what_is_open_and_leaves_out_what_is_the_same(shafts):
    up, sideways = shafts.tables(METRIC)
    assert up.heads == ("spine in", "push", "nose up, rad/s", "bare − fletched up, cm")
    assert sideways.heads == (
        "spine in", "nose right, rad/s ↔", "bare − fletched right, cm ↔", "other way"
    )  # fmt: skip
    assert [row[0] for row in up.cells] == ["0.300", "0.600"]
    assert up.cells[1][1].endswith(" %")


def test_points_and_lengths_show_where_they_differ_and_have_a_curve_each():
    both = vireton.compare_shafts(
        vireton.load(), "0.3,0.4 in", points="100,125 gr", lengths="28 in", draws=8
    )
    assert [one.choice.point_mass < 7e-3 for one in both.shafts] == [True, True, False, False]
    table, _ = both.tables(US)
    assert table.heads[:2] == ("spine in", "point gr")
    assert "length in" not in table.heads
    assert table.cells[2][:2] == ("0.300", "125")
    assert "125 gr" in [text.get_text() for axes in both.figure().axes for text in axes.texts]


def test_a_shaft_too_light_for_the_bow_is_a_caution_and_in_the_json():
    with pytest.warns(vireton.Caution, match=r"point 1 gr, length 28\.5 in: DANGER"):
        light = vireton.compare_shafts(vireton.load(), "0.3 in", points="1 gr", draws=8)
    assert any("point 1 gr" in one for one in light.to_dict()["warnings"])


def test_more_curves_than_can_be_told_apart_are_refused_before_anything_is_shot():
    from vireton.answers.spine import CompareShafts

    masses = ",".join(str(one) for one in range(100, 190, 10))
    many = CompareShafts.read({"setup": vireton.load(), "points": f"{masses} gr"})
    with pytest.raises(vireton.InputProblem, match="9 curves cannot be told apart"):
        many.demand_drawable()


@pytest.mark.filterwarnings("ignore::vireton.Caution")
@pytest.mark.parametrize(
    ("spines", "given", "says"),
    [
        (0.3, {}, r"spines: 0\.3 m is outside"),
        ("0.01 in", {}, "spines: .* is outside"),
        ("20 gr", {}, "a mass, not a length"),
        ("34", {}, "no unit"),
        ("0.34 in", {"points": "2000 gr"}, "points: .* is outside"),
        ("0.34 in", {"lengths": "26 in"}, "too short for this bow"),
    ],
)
def test_what_cannot_be_is_refused(spines, given, says):
    with pytest.raises(vireton.InputProblem, match=says):
        vireton.compare_shafts(vireton.load(), spines, draws=8, **given)
