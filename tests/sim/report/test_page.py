"""The page as a whole: well formed, safe, complete without its script."""

import json
import re
from dataclasses import replace
from html.parser import HTMLParser

import pytest

from vireton.report.page import page_html

VOID = {"meta", "input", "br"}


class Reader(HTMLParser):
    """Fails on a tag that is not closed in order; collects tags, ids, attributes and text."""

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.tags, self.text = [], [], []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if "script" not in self.open and "style" not in self.open:
            self.text.append(data)


def read(text):
    reader = Reader()
    reader.feed(text)
    reader.close()
    assert reader.open == []
    return reader


@pytest.fixture
def parsed(page):
    return read(page_html(page))


def test_balanced_with_one_heading_and_unique_ids(parsed):
    ids = [attributes["id"] for _, attributes in parsed.tags if "id" in attributes]
    assert len(ids) == len(set(ids))
    names = [tag for tag, _ in parsed.tags]
    assert names.count("h1") == names.count("main") == names.count("title") - 2 == 1
    assert ("html", {"lang": "en"}) in parsed.tags


def test_names_and_notes_are_text_and_never_tags(page, parsed):
    assert "b" not in {tag for tag, _ in parsed.tags}
    assert "i" not in {tag for tag, _ in parsed.tags}
    assert "Mill bow <b>& co</b>" in parsed.text
    assert 'Note: "</script><i>8' in parsed.text


def test_no_backticks_and_no_keys_of_a_file(page):
    advice = replace(
        page.advice, lines=("then `vireton record LOG --back`", "widen uncertainty.string_mass")
    )
    odd = replace(page, advice=advice, notes=("without arrow.shaft.spine it is rigid",))
    parsed = read(page_html(odd))
    said = "".join(parsed.text)
    assert "`" not in said and "uncertainty." not in said and "arrow.shaft" not in said
    assert "vireton record LOG --back" in said
    assert "the range of the string's mass" in said and "the shaft spine" in said
    assert "code" in {tag for tag, _ in parsed.tags}


def test_a_plain_face_that_nothing_has_to_be_fetched_for(page):
    (style,) = re.findall(r"<style>(.*?)</style>", page_html(page), flags=re.DOTALL)
    (faces,) = re.findall(r"body \{[^}]*font: [^;]*?(system-ui[^;]*);", style)
    assert faces.rstrip().endswith("sans-serif")
    for never in ("@font-face", "url(", "Georgia", "Charter"):
        assert never not in style


def test_a_slider_text_cannot_end_the_data(page, whatif):
    evil = "</script><script>alert(1)</script><!--"
    text = page_html(replace(page, whatif=replace(whatif, right=(evil,) * 9)))
    reader = read(text)
    assert [tag for tag, _ in reader.tags].count("script") == 2
    data = re.search(r'<script type="application/json" id="tables">(.*?)</script>', text, re.S)[1]
    assert json.loads(data)["right"] == [evil] * 9


def test_nothing_is_fetched(page, parsed):
    text = page_html(page)
    assert not re.search(r"https?:|//\w|url\(|@import|@font-face", text.replace("// ", ""))
    for tag, attributes in parsed.tags:
        assert not {"src", "href", "srcset", "action", "style", "onclick"} & set(attributes), tag
    policy = next(a["content"] for t, a in parsed.tags if t == "meta" and "http-equiv" in a)
    assert policy.startswith("default-src 'none'; style-src 'sha256-")


def test_the_data_are_the_tables(page, whatif):
    text = page_html(page)
    data = json.loads(re.search(r'id="tables">(.*?)</script>', text, re.S)[1])
    for told, table in zip(data["cases"], whatif.tables.cases, strict=True):
        for kind, places in table.places.items():
            assert told["places"][kind] == places.ravel().tolist()
        for seen, spreads in table.spreads.items():
            assert told["spreads"][seen] == spreads.ravel().tolist()
    assert data["winds"][0] == -15.0
    assert data["count"] == pytest.approx(0.01)


def test_all_of_the_content_is_there_without_script(page, parsed):
    said = " ".join(parsed.text)
    for words in (
        page.advice.call, "83 % that it helps.", "DANGER", "Backstop.", "A note of the rig.",
        "Look here.", "Withdrawn.", "To the start: move it left 1/32 in.", "Round 8",
        "Not printed: 5 earlier rounds", "one step right", "off by no more than",
    ):  # fmt: skip
        assert words in said, words


def test_controls_wait_for_the_script_and_are_labeled(parsed):
    form = next(attributes for tag, attributes in parsed.tags if tag == "form")
    assert "hidden" in form
    labeled = {a["for"] for tag, a in parsed.tags if tag == "label" and "for" in a}
    sliders = {a["id"] for tag, a in parsed.tags if tag == "input" and a["type"] == "range"}
    assert sliders == labeled
    assert len(sliders) == 3
    for tag, attributes in parsed.tags:
        if tag == "svg":
            assert attributes.get("role") == "img" or attributes.get("aria-hidden") == "true"


def test_a_page_of_a_setup_file_has_no_rounds(page):
    text = page_html(replace(page, history=(), back=()))
    assert "Rounds so far" not in text
    assert "The ways back" not in text
