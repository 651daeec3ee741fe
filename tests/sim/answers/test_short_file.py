"""A setup file of six numbers: every question is answered, with wider brackets than a whole one."""

from pathlib import Path

import pytest

import vireton
from six_numbers import SIX

RULE = '[[rules]]\nname = "a"\nplace = "b"\ndate = "c"\nmost_speed = "300 fps"\n'
MILL = Path(__file__).parents[3] / "examples" / "mill_bow.toml"


@pytest.fixture
def six(tmp_path: Path) -> Path:
    path = tmp_path / "six.toml"
    path.write_text(SIX + RULE, encoding="utf-8")
    return path


def width(found: list[float]) -> float:
    low, high = found
    return high - low


def test_brackets_are_wider_than_those_of_a_whole_file(six: Path) -> None:
    short = vireton.move_rest(six, up="1/32 in", distances="20,60 yd").to_dict()
    whole = vireton.move_rest(MILL, up="1/32 in", distances="20,60 yd").to_dict()

    def bands(node: object) -> dict[str, list[float]]:
        found: dict[str, list[float]] = {}

        def walk(one: object, where: str) -> None:
            if isinstance(one, dict):
                for key, value in one.items():
                    if key.endswith("_range") and isinstance(value, list) and None not in value:
                        found[f"{where}.{key}"] = value
                    walk(value, f"{where}.{key}")
            elif isinstance(one, list):
                for place, value in enumerate(one):
                    walk(value, f"{where}.{place}")

        walk(node, "")
        return found

    ours, theirs = bands(short), bands(whole)
    up = [key for key in ours if "_up" in key and width(theirs[key]) > 0.0]
    assert len(up) >= 4
    for key in up:
        assert width(ours[key]) > width(theirs[key]), key
    assert any("left open" in note and "brace height" in note for note in short["notes"])
    assert not any("left open" in note for note in whole["notes"])


def test_every_question_is_answered(six: Path) -> None:
    vireton.fly(six, distances="20 yd", draws=8)
    vireton.find_holds(six, distances="20 yd", draws=8)
    vireton.find_marks(six, radius="33 in", distances="20,40 yd", draws=8)
    vireton.check_rules(six)
    vireton.scatter_shots(six, distances="20 yd", arrows=256, draws=8)
    # 27.5 in just reaches the rest
    vireton.compare_shafts(
        six, spines="0.3,0.4 in", points="100,125 gr", lengths="27.5,29 in", draws=16
    )


@pytest.mark.parametrize(
    "sweep", ["point.mass=100,150 gr", "vanes.length=1.75,3 in", "shaft.mass_per_length=8,9 gr/in"]
)
def test_a_part_that_is_varied_brings_its_own_weight(six: Path, sweep: str) -> None:
    found = vireton.compare_arrows(six, vary=sweep, distances="60 yd", draws=8)
    light, heavy = (one.contender.rig.fletched.mass for one in found.arrows)
    assert heavy > light
