"""Lines and tables as HTML."""

from html.parser import HTMLParser

from vireton.answers.as_html import Shown, grid_html, lines_html
from vireton.answers.table import Grid, Lines

GRID = Grid("a < b", ("at", "in & out"), (("20 yd", "0.16 (0.15…0.17)"), ("30 yd", "–")))


class Balanced(HTMLParser):
    def __init__(self, text):
        super().__init__()
        self.open, self.seen = [], []
        self.feed(text)
        assert not self.open

    def handle_starttag(self, tag, _attributes):
        self.open.append(tag)
        self.seen.append(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag


class Page(Shown):
    def page(self, display):
        assert display.name == "us"
        return [Lines(("one <b>", "two.")), Lines(("head",), bold=True), GRID, Lines(())]


def test_a_table_is_balanced_escaped_and_its_bands_hold_together():
    text = grid_html(GRID)
    assert Balanced(text).seen.count("tr") == 3
    assert "<caption>a &lt; b</caption>" in text
    assert '<th scope="col">in &amp; out</th>' in text
    assert '<td>0.16 <span class="band">(0.15…0.17)</span></td><' in text
    assert "<td>–</td>" in text


def test_lines_are_sentences():
    assert lines_html(Lines(("one <b>", "two."))) == "<ul><li>One &lt;b&gt;.</li><li>Two.</li></ul>"
    assert lines_html(Lines(())) == ""


def test_a_notebook_shows_all_of_a_page_in_its_order():
    seen = Balanced(Page()._repr_html_()).seen
    assert [one for one in seen if one in {"ul", "h4", "table"}] == ["ul", "h4", "table"]
