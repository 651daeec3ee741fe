"""The lessons' worksheets and keys: what is kept is what is worked out, and fits one sheet."""

import base64
import importlib.util
import re
import subprocess
from html.parser import HTMLParser

import pytest

from browser import chromium, need

PAPERS = {"letter": (8.5, 11.0), "a4": (8.27, 11.69)}
LESSONS = ("1_yaw_and_vanes", "2_spin", "3_why_bare_shafts_tell")


@pytest.fixture(scope="module")
def classroom(pytestconfig):
    return pytestconfig.rootpath / "examples" / "classroom"


@pytest.fixture(scope="module")
def module(classroom):
    found = importlib.util.spec_from_file_location("worksheets", classroom / "worksheets.py")
    made = importlib.util.module_from_spec(found)
    # dataclasses look their own module up
    with pytest.MonkeyPatch.context() as patch:
        import sys

        patch.setitem(sys.modules, "worksheets", made)
        found.loader.exec_module(made)
    return made


@pytest.fixture(scope="module")
def kept(classroom):
    return {one.name: one.read_text(encoding="utf-8") for one in
            (classroom / "worksheets").glob("*.html")}  # fmt: skip


class Cells(HTMLParser):
    """Text of all cells, and all text."""

    def __init__(self, text):
        super().__init__()
        self.cells, self.text, self._inside = [], [], False
        self.feed(text)

    def handle_starttag(self, tag, _attributes):
        if tag == "td":
            self.cells.append("")
        self._inside = tag == "td"

    def handle_endtag(self, _tag):
        self._inside = False

    def handle_data(self, data):
        self.text.append(data)
        if self._inside:
            self.cells[-1] += data


def test_the_sheets_are_what_is_worked_out(module, kept):
    assert set(kept) == {f"{one}_{kind}.html" for one in LESSONS for kind in ("key", "worksheet")}
    assert module.written() == kept, "run: python examples/classroom/worksheets.py"


@pytest.mark.parametrize("lesson", LESSONS)
def test_a_key_has_the_numbers_of_its_lesson(kept, classroom, lesson):
    page = (classroom / f"{lesson}.md").read_text(encoding="utf-8")
    told = Cells(kept[f"{lesson}_key.html"]).cells
    assert len(told) >= 6
    # but the table of how many arrows, which the class works out
    own = {"0.60", "0.85", "0.35", "0.49", "0.19", "0.27"} if lesson[0] == "3" else set()
    # a narrow table has a number's band below it
    pieces = [piece for one in told for piece in one.replace(" (", "\n(").split("\n")]
    missing = [one for one in pieces if one not in page and one not in own]
    assert not missing


@pytest.mark.parametrize("lesson", LESSONS)
def test_a_worksheet_asks_all_and_tells_nothing(kept, lesson):
    sheet, key = (Cells(kept[f"{lesson}_{kind}.html"]) for kind in ("worksheet", "key"))
    assert len(sheet.cells) == len(key.cells)
    assert not any(sheet.cells)
    answers = re.findall(r"<strong>(.*?)</strong>", kept[f"{lesson}_key.html"])
    assert len(answers) >= 4
    assert not [one for one in answers if one in kept[f"{lesson}_worksheet.html"]]


@pytest.mark.parametrize("lesson", LESSONS)
def test_every_sheet_says_that_nobody_shoots_in_class(kept, classroom, lesson):
    overview = (classroom / "README.md").read_text(encoding="utf-8")
    for kind in ("worksheet", "key"):
        name = f"{lesson}_{kind}.html"
        assert f"](worksheets/{name})" in overview
        for words in ("nobody draws a bow in class", "qualified instructor", "are invented"):
            assert words in kept[name]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("lesson", LESSONS)
def test_each_prints_on_one_sheet(kept, classroom, tmp_path, paper, lesson):
    need("pdfinfo")
    width, height = PAPERS[paper]
    for kind in ("worksheet", "key"):
        file = tmp_path / f"{kind}.pdf"
        with chromium(tmp_path / kind) as browser:
            browser.get((classroom / "worksheets" / f"{lesson}_{kind}.html").as_uri())
            printed = browser.execute_cdp_cmd(
                "Page.printToPDF", {"paperWidth": width, "paperHeight": height}
            )
        file.write_bytes(base64.b64decode(printed["data"]))
        told = subprocess.run(["pdfinfo", file], capture_output=True, text=True, check=True)
        assert "Pages:           1\n" in told.stdout
