"""The card in words and tables."""

import re

import pytest

from hunting import card_of, job_of
from vireton.answers.hunt import Stays
from vireton.answers.hunt_words import stays_words
from vireton.answers.table import Grid, Span
from vireton.units.display import METRIC, US
from vireton.units.numbers import INCH, YARD


@pytest.fixture(scope="module")
def examples(pytestconfig):
    return pytestconfig.rootpath / "examples"


@pytest.fixture(scope="module")
def mill(examples):
    return card_of(examples / "mill_broadhead.toml", distances="20:60:10 yd")


def stays(middle, low, high, circle=8, looked=60):
    return Stays(circle * INCH, Span(middle * YARD, low * YARD, high * YARD), looked * YARD)


@pytest.mark.parametrize(
    ("one", "said"),
    [
        ((32, 30, 34), "inside 8 in out to 32 yd (30 to 34)"),
        ((32, 32, 32), "inside 8 in out to 32 yd"),
        ((54, 42, 71), "inside 8 in out to 54 yd (42 to farther)"),
        ((float("inf"), 50, float("inf")), "inside 8 in to 60 yd and farther"),
    ],
)
def test_how_far_arrows_stay_inside(one, said):
    assert stays_words([stays(*one)], US) == (
        f"9 of 10 arrows stay {said}, in calm shots at a target"
    )


def test_the_card_fits_a_narrow_screen_and_is_in_the_order_of_use(mill):
    parts = mill.page(US)
    heads = [part.lines[0] for part in parts if not isinstance(part, Grid) and part.bold]
    assert heads == [
        "Pins and wind",
        "Uphill and downhill: aim low by",
        "Broadhead, from where the field point lands",
        "What not to trust",
        "Bow and arrow",
        "Before you shoot",
    ]
    for one in mill.tables(US):
        columns = zip(one.heads, *one.cells, strict=True)
        assert sum(max(map(len, column)) + 3 for column in columns) <= 80


def test_it_shows_what_the_commands_show(mill, examples):
    import vireton

    drawn = {"distances": "20:60:10 yd", "draws": 8}
    file = examples / "mill_broadhead.toml"
    pins, slopes, heads = mill.tables(US)
    (marks,) = vireton.find_marks(file, "33 in", **drawn).tables(US)
    assert [row[1] for row in pins.cells[1:]] == [row[1] for row in marks.cells[1:]]
    assert pins.cells[0][1] == "–"
    wind, *others = vireton.find_holds(file, slopes="-30,-15,15,30 deg", **drawn).tables(US)
    high = next(one for one in others if "hits high" in one.title and "slope" in one.title)
    inside = [re.match(r"\+?([0-9.]+)", row[1])[1] for row in wind.cells]
    shown = [re.match(r"([0-9.]+)", row[3])[1] for row in pins.cells]
    assert [f"{float(one):.1f}" for one in inside] == [f"{float(one):.1f}" for one in shown]
    assert [row[1:] for row in slopes.cells] == [
        tuple(cell.replace("+", "") for cell in row[1:]) for row in high.cells
    ]
    (aim,) = vireton.aim_broadhead(file, **drawn).tables(US)
    assert [row[:3] for row in heads.cells] == [row[:3] for row in aim.cells]


def test_who_decides_stands_right_behind_the_answer_and_nothing_is_called_safe(mill):
    said = mill.words(US)
    assert said[1] == (
        "Local law, your own practice and what you see in front of you decide every shot."
    )
    text = " ".join(said).lower()
    assert "nothing here certifies a bow, an arrow or a shot as safe" in text
    assert "razor-sharp" in text and "backstop" in text
    assert not re.search(r"ethical|safe shot|safe distance|is safe|you can shoot", text)


def test_metric_has_its_own_wind_and_circles(examples):
    from vireton.answers.hunt import PlanHunt

    read = PlanHunt.read(
        {"bow": examples / "mill_bow.toml", "distances": "30 m", "draws": 8}, system="metric"
    )
    card = read.answer()
    assert "inside 15 cm" in card.words(METRIC)[0]
    pins, *_ = card.tables(METRIC)
    assert pins.heads[2:] == ("into 2.5 m/s, cm", "into 5 m/s, cm")
    assert any("838 mm from the peep" in one for one in card.words(METRIC))


def test_a_job_says_how_the_bow_stands(examples, tmp_path):
    said = " ".join(card_of(job_of(examples, tmp_path), distances="20,40 yd").words(US))
    assert "the rest left 3/32 in of where it began" in said
    assert "one of them is off by 0.5 in (0.4 to 0.6) at 20 yd" in said
    assert "the job's groups were shot at 20 yd and nearer" in said


def test_a_side_that_is_open_is_marked(examples, tmp_path):
    text = (examples / "mill_broadhead.toml").read_text(encoding="utf-8")
    file = tmp_path / "bow.toml"
    file.write_text(text.replace("[bow.rest]\n", '[bow.rest]\noffset_right = "1/32 in"\n'), "utf-8")
    card = card_of(file, distances="20 yd")
    assert "↔" in card.tables(US)[2].cells[0][1]
    assert any(one.startswith("↔ size only") for one in card.words(US))
