"""The card as HTML: well formed, safe, and cut where a sheet ends."""

import re
from dataclasses import replace

import pytest
from cards import CARD, long_card
from test_page import read

from vireton.report.card_page import card_html


@pytest.fixture
def parsed():
    return read(card_html(CARD))


def test_balanced_with_one_heading_and_in_the_order_of_the_sheet(parsed):
    names = [tag for tag, _ in parsed.tags]
    assert names.count("h1") == names.count("main") == names.count("title") == 1
    heads = (
        "Shop",
        "Mill bow",
        "Owner",
        "Complaint",
        "Measures",
        "Arrow",
        "Sight marks",
        "What was done",
        "Sight",
        "What is left",
        "Next time",
        CARD.caution,
    )
    places = [parsed.text.index(one) for one in heads]
    assert places == sorted(places)
    assert parsed.text.count(CARD.caution) == 1


def test_what_is_changed_is_said_in_words(parsed):
    assert parsed.text.count("changed") == 1
    assert "59 lb" in parsed.text
    assert "–" in parsed.text


def test_everything_that_was_typed_is_text():
    evil = "</style><script>alert(1)</script><b>&"
    card = replace(
        CARD, bow=evil, owner=evil, complaint=evil, date_in=evil, dangers=(evil,), warnings=(evil,),
        measured=(replace(CARD.measured[0], received=evil, left=evil),), arrow=(("Name", evil),),
        arrow_note=evil, done=(evil,), sight=evil, walkback=evil,
    )  # fmt: skip
    tags = {tag for tag, _ in read(card_html(card)).tags}
    assert not {"script", "b"} & tags
    assert sum(evil in one for one in read(card_html(card)).text) >= 12


def test_nothing_is_fetched_and_nothing_runs(parsed):
    assert not re.search(r"https?:|url\(|@import|@font-face|<script", card_html(CARD))
    policy = next(a["content"] for t, a in parsed.tags if t == "meta" and "http-equiv" in a)
    assert re.fullmatch(r"default-src 'none'; style-src 'sha256-[\w+/=]+'", policy)
    for tag, attributes in parsed.tags:
        assert not {"src", "href", "style", "onclick"} & set(attributes), tag


def test_a_bow_that_is_not_handed_over_says_so():
    text = card_html(replace(CARD, is_done=False, date_out=""))
    assert text.count("not handed over yet") == 2  # its title, and where its date would stand


def test_what_a_sheet_has_no_room_for_is_counted():
    parsed = read(card_html(long_card(done=300)))
    shown = [one for one in parsed.text if one.startswith("change ")]
    more = next(one for one in parsed.text if "see the job file" in one)
    assert shown[0] == "change 1"
    assert more == f"and {300 - len(shown)} more, see the job file"
    assert "more, see" not in "".join(read(card_html(CARD)).text)


def test_nothing_known_still_makes_a_card():
    empty = replace(
        CARD, owner="", date_in="", date_out="", is_done=False, complaint="", measured=(),
        marks=(), done=(), sight="", left=(), left_note="No arrow.",
    )  # fmt: skip
    text = read(card_html(empty)).text
    for said in ("None were recorded.", "Nothing was changed.", "No arrow."):
        assert said in text
    assert "Complaint" not in text
    assert "Sight marks" not in text
