"""An answer as a sheet: well formed, safe, whatever was typed."""

import re
from dataclasses import replace

import pytest
from test_page import read

from hunting import card_of
from vireton.answers.table import Grid, Lines
from vireton.report.sheet import sheet_html, sheet_of
from vireton.units.display import US

PARTS = (
    Lines(("the answer", "and who decides.")),
    Lines(("Pins",), bold=True),
    Grid("title", ("at", "in"), (("20 yd", "0.16 (0.15…0.17)"), ("30 yd", "–"))),
    Lines(("worked out",)),
)


@pytest.fixture(scope="module")
def mill(pytestconfig):
    file = pytestconfig.rootpath / "examples" / "mill_broadhead.toml"
    return card_of(file, distances="20,40 yd")


def test_headings_tables_and_lines_in_their_order():
    parsed = read(sheet_html("Mill bow", ("DANGER: light",), PARTS))
    names = [tag for tag, _ in parsed.tags]
    assert names.count("h1") == names.count("main") == names.count("h2") == 1
    assert names.count("section") == 2
    told = [
        "Mill bow", "DANGER: light", "The answer.", "And who decides.", "Pins", "title", "20 yd",
        "(0.15…0.17)", "–", "Worked out.",
    ]  # fmt: skip
    places = [parsed.text.index(one) for one in told]
    assert places == sorted(places)
    assert ("p", {"class": "danger", "role": "alert"}) in parsed.tags


def test_a_number_and_its_band_are_not_broken():
    page = sheet_html("x", (), PARTS)
    assert '<td>0.16 <span class="band">(0.15…0.17)</span></td>' in page
    assert "<td>–</td>" in page


def test_a_full_sheet_has_small_type():
    few, many = ((*PARTS, Lines(("words " * 30,) * count)) for count in (3, 40))
    assert 'class="small"' not in sheet_html("x", (), few)
    assert 'class="small"' in sheet_html("x", (), many)


def test_everything_that_was_typed_is_text(mill):
    evil = "</style><script>alert(1)</script><b>&"
    setup = mill.question.setup
    named = replace(mill.question, bow=replace(setup, bow=replace(setup.bow, name=evil)))
    page = sheet_of(replace(mill, question=named), US)
    assert not {"script", "b"} & {tag for tag, _ in read(page).tags}
    assert sum(evil in one for one in read(page).text) >= 2


def test_nothing_is_fetched_and_nothing_runs(mill):
    page = sheet_of(mill, US)
    assert not re.search(r"https?:|url\(|@import|@font-face|<script", page)
    policy = next(a["content"] for t, a in read(page).tags if t == "meta" and "http-equiv" in a)
    assert policy.startswith("default-src 'none'; style-src 'sha256-")


def test_the_sheet_has_all_of_the_card(mill):
    text = " ".join(read(sheet_of(mill, US)).text)
    for grid in mill.tables(US):
        for row in grid.cells:
            assert all(one.partition(" (")[0] in text for one in row)
    assert "decide every shot" in text
