"""Sweeps over a setup file's keys: which key, which value, what cannot hold."""

from pathlib import Path

import pytest

from vireton.bow.arrow import assemble
from vireton.setup.errors import SetupError
from vireton.setup.load import load_setup
from vireton.setup.template import template_text
from vireton.setup.variants import MOST_VARIANTS, variants
from vireton.units.problems import InputProblem

MILL = Path(__file__).parents[3] / "examples" / "mill_bow.toml"
GRAIN, INCH, FPS = 6.479891e-5, 0.0254, 0.3048


@pytest.fixture
def edited(tmp_path):
    """The template with replacements, as a file."""

    def make(*changes):
        text = template_text()
        for old, new in changes:
            assert old in text
            text = text.replace(old, new)
        path = tmp_path / "bow.toml"
        path.write_text(text, encoding="utf-8")
        return path

    return make


def refused(*wanted, path=MILL):
    with pytest.raises(InputProblem) as caught:
        variants(path, wanted)
    return str(caught.value)


def test_nothing_varied_is_the_file_as_it_is():
    (only,) = variants(MILL, [])
    assert only.setup == only.measured == load_setup(MILL)
    assert (only.label, only.changed) == ("Mill bow with Maple 340", ())


def test_the_end_of_a_path_is_enough():
    short, tall = variants(MILL, ["vanes.length=1.75in,2 1/4 in"])
    assert short.setup.parts.vanes.length == pytest.approx(1.75 * INCH)
    assert tall.setup.parts.vanes.length == pytest.approx(2.25 * INCH)
    assert short.changed == ("arrow.vanes.length",)
    assert short.label == "vanes.length 1.75 in"
    assert variants(MILL, ["arrow.vanes.length=2in"])[0].setup == load_setup(MILL)


def test_a_full_path_wins_over_longer_ones_with_the_same_end():
    light, heavy = variants(MILL, ["arrow.mass=400,450 gr"])
    assert assemble(light.setup.parts).mass == pytest.approx(400 * GRAIN)
    assert assemble(heavy.setup.parts).mass == pytest.approx(450 * GRAIN)


def test_a_value_without_a_unit_takes_the_last_one():
    mixed = [one.setup.parts.vanes.length for one in variants(MILL, ["vanes.length=40,2in,55 mm"])]
    assert mixed == pytest.approx([0.040, 2 * INCH, 0.055])
    both = [one.setup.parts.point.mass for one in variants(MILL, ["point.mass=100,125 gr"])]
    assert both == pytest.approx([100 * GRAIN, 125 * GRAIN])


def test_counts_choices_and_numbers():
    assert [one.setup.parts.vanes.count for one in variants(MILL, ["vanes.count=3,4"])] == [3, 4]
    turns = [one.setup.parts.vanes.turn for one in variants(MILL, ["turn=left, right"])]
    assert turns == ["left", "right"]
    drag = [one.setup.drag_coefficient for one in variants(MILL, ["drag_coefficient=1.5,2"])]
    assert drag == [1.5, 2.0]


def test_several_keys_are_every_pairing():
    found = variants(MILL, ["vanes.count=3,4", "vanes.offset=1,2,3 deg"])
    assert len(found) == 6
    assert found[-1].label == "vanes.count 4, vanes.offset 3 deg"
    assert found[-1].changed == ("arrow.vanes.count", "arrow.vanes.offset")


def test_an_optional_table_is_made():
    still, kicked = variants(MILL, ["release.kick_right=0,0.1 m/s"])
    assert (still.setup.bow.kick_right, kicked.setup.bow.kick_right) == (0.0, 0.1)


def test_the_speed_follows_from_what_the_bow_stores():
    base = load_setup(MILL)
    same, heavy = variants(MILL, ["point.mass=100,150 gr"])
    assert same.setup.bow.arrow_speed == base.bow.arrow_speed
    light, loaded = (assemble(one.setup.parts).mass for one in (same, heavy))
    assert heavy.setup.bow.arrow_speed < same.setup.bow.arrow_speed
    # more energy, less speed: the string and limbs keep less
    assert loaded * heavy.setup.bow.arrow_speed**2 > light * base.bow.arrow_speed**2
    assert heavy.measured == base


def test_a_varied_speed_is_the_measured_one():
    slow, fast = variants(MILL, ["bow.arrow_speed=270,280 fps"])
    assert slow.setup.bow.arrow_speed == pytest.approx(270 * FPS)
    assert fast.measured == fast.setup
    low, high = slow.setup.uncertainty["arrow_speed"]
    assert low < 270 * FPS < high


def test_a_weaker_bow_shoots_slower():
    weak, own = variants(MILL, ["draw_weight=50,60 lbf"])
    assert own.setup.bow.arrow_speed == pytest.approx(280 * FPS, rel=1e-12)
    assert weak.setup.bow.arrow_speed == pytest.approx(280 * FPS * (50 / 60) ** 0.5, rel=1e-9)


def test_a_weighed_arrow_carries_its_difference_over(edited):
    path = edited(
        ('# mass = "415 gr"', 'mass = "420 gr"'), ('# balance = "17.5 in"', 'balance = "17.6 in"')
    )
    same, heavy = variants(path, ["point.mass=100,125 gr"])
    arrow = assemble(same.setup.parts)
    assert arrow.mass == pytest.approx(420 * GRAIN, rel=1e-12)
    assert arrow.balance == pytest.approx(17.6 * INCH, rel=1e-9)
    heavier = assemble(heavy.setup.parts)
    assert heavier.mass == pytest.approx(445 * GRAIN, rel=1e-12)
    # 25 gr more, 0.3 of its length ahead of the shaft's end
    at = (28.5 + 0.3 * 0.8) * INCH
    moment = 420 * 17.6 * INCH + 25 * at
    assert heavier.balance == pytest.approx(moment / 445, rel=1e-9)
    assert "carried over" in heavy.notes[0]


def test_only_a_weighed_mass_leaves_the_balance_to_the_parts(edited):
    path = edited(('# mass = "415 gr"', 'mass = "420 gr"'))
    (heavy,) = variants(path, ["point.mass=125 gr"])
    assert heavy.setup.parts.measured_balance is None
    assert heavy.setup.parts.measured_mass == pytest.approx(445 * GRAIN)


def test_what_does_not_change_the_arrow_keeps_its_weight(edited):
    path = edited(('# mass = "415 gr"', 'mass = "420 gr"'))
    for one in variants(path, ["bow.rest.lets_go=40,50 %"]):
        assert one.setup.parts.measured_mass == pytest.approx(420 * GRAIN)
        assert one.notes == ()
        assert one.setup.bow.arrow_speed == pytest.approx(280 * FPS, rel=1e-12)


def test_a_weighed_mass_and_its_parts_are_not_varied_together(edited):
    path = edited(('# mass = "415 gr"', 'mass = "420 gr"'))
    said = refused("arrow.mass=400,420 gr", "point.mass=100,125 gr", path=path)
    assert "arrow.mass" in said
    assert "not both" in said


def test_a_measured_drag_does_not_hold_for_another_shape(edited):
    path = edited(("# drag_coefficient = 2.0", "drag_coefficient = 2.0"))
    said = refused("vanes.height=0.4,0.5 in", path=path)
    assert "arrow.drag_coefficient" in said
    assert "delete it" in said
    # weight alone leaves it, and so does giving both
    assert len(variants(path, ["point.mass=100,125 gr"])) == 2
    assert len(variants(path, ["vanes.height=0.4,0.5 in", "drag_coefficient=1.9"])) == 2


@pytest.mark.parametrize(
    ("wanted", "words"),
    [
        ("vanes.lenght=2in", ["vanes.lenght", 'did you mean "arrow.vanes.length"']),
        ("length=2in", ["arrow.length", "arrow.vanes.length", "write which"]),
        ("qqqqq=1", ["qqqqq", "vireton schema"]),
        ("uncertainty.friction=1", ["no key that can be varied"]),
        ("arrow.name=a,b", ["no key that can be varied"]),
        ("vanes.length", ["no sweep", "vanes.length=1.75in"]),
        ("=2in", ["no sweep"]),
        ("vanes.length=", ["no sweep"]),
        ("vanes.length=2in,,3in", ["no sweep"]),
        ("vanes.length=20 in", ["mill_bow.toml with vanes.length 20 in", "outside 0.2 in to 8 in"]),
        ("vanes.length=2", ["no unit"]),
        ("vanes.length=2 gr", ["arrow.vanes.length", "2 gr"]),
        ("vanes.count=1", ["1 is outside 2 to 6"]),
        ("vanes.count=3.5", ["whole number"]),
        ("vanes.count=many", ["whole number"]),
        ("vanes.turn=lefft", ['did you mean "left"']),
        ("arrow.length=15 in", ["DANGER", "too short"]),
        ("wrap.mass=5 gr", ["arrow.wrap.length", "missing"]),
    ],
)  # fmt: skip
def test_what_cannot_be_varied(wanted, words):
    said = refused(wanted)
    for word in words:
        assert word in said


def test_too_many_variants_and_one_key_twice():
    many = ",".join(str(i) for i in range(5, 10))
    said = refused(f"vanes.mass={many} gr", f"point.mass={many}0 gr")
    assert "5 × 5 = 25" in said
    assert str(MOST_VARIANTS) in said
    assert "twice" in refused("vanes.count=3", "arrow.vanes.count=4")


def test_a_wrong_file_is_told_first(edited):
    path = edited(('"60 lbf"', '"0 lbf"'))
    with pytest.raises(SetupError, match=r"line \d+: bow.draw_weight"):
        variants(path, ["vanes.count=3,4"])
