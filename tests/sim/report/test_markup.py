"""Every tag closed, every text escaped."""

import pytest

from vireton.report.markup import Markup, element, joined


def test_text_is_escaped_and_markup_is_not():
    inner = element("b", '1 < 2 & "3"')
    assert inner == "<b>1 &lt; 2 &amp; &quot;3&quot;</b>"
    assert element("p", inner, "<i>") == f"<p>{inner}&lt;i&gt;</p>"


def test_attributes():
    assert element("p", class_="a b", data_row="1", for_="x") == (
        '<p class="a b" data-row="1" for="x"></p>'
    )
    assert element("p", hidden=True, title=None, lang=False) == "<p hidden></p>"
    assert element("p", title='"><script>') == '<p title="&quot;&gt;&lt;script&gt;"></p>'


def test_numbers_are_short():
    assert element("circle", r=1.0 / 3.0, cx=5) == '<circle r="0.333333" cx="5"></circle>'


@pytest.mark.parametrize("tag", ["meta", "input", "br"])
def test_void_elements_have_no_end(tag):
    assert element(tag) == f"<{tag}>"


def test_joined():
    assert joined("a<", Markup("<b></b>")) == "a&lt;<b></b>"
    assert isinstance(joined(), Markup)
