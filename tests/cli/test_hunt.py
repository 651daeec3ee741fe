"""``vireton hunt``: the card on a screen, as JSON, and as a sheet of paper."""

import base64
import json
import subprocess

import pytest

from browser import chromium, need
from hunting import job_of
from six_numbers import SIX

PAPERS = {"letter": (8.5, 11.0), "a4": (8.27, 11.69)}
QUICK = ("--draws", "8", "--distances", "20,60 yd")


@pytest.fixture
def examples(pytestconfig):
    return pytestconfig.rootpath / "examples"


def test_a_setup_on_the_screen_and_as_a_page(vireton, examples, tmp_path):
    page = tmp_path / "card.html"
    done = vireton("hunt", examples / "mill_broadhead.toml", *QUICK, "-o", page)
    assert done.code == 0, done.err
    assert done.out.startswith("· 9 of 10 arrows stay inside 6 in out to ")
    assert "What not to trust" in done.out
    assert "<h1>Mill bow: hunting card</h1>" in page.read_text(encoding="utf-8")


def test_a_job_as_json(vireton, examples, tmp_path):
    done = vireton("hunt", job_of(examples, tmp_path), *QUICK, "--json")
    assert done.code == 0, done.err
    told = json.loads(done.out)
    assert (told["schema"], told["from"], told["wind_mph"]) == (1, "job", pytest.approx(10.0))
    assert [row["distance_yd"] for row in told["rows"]] == [20.0, 60.0]


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("missing.toml",), "there is no such"),
        (("SETUP", "-o", "card.pdf"), "ends in .html"),
        (("SETUP", "-o", "SETUP.html"), "no page of"),
    ],
)
def test_what_cannot_be_is_refused(vireton, setup_file, tmp_path, monkeypatch, arguments, says):
    monkeypatch.chdir(tmp_path)
    (tmp_path / "own.html").write_text("mine", encoding="utf-8")
    names = {"SETUP": setup_file, "SETUP.html": "own.html"}
    done = vireton("hunt", *(names.get(one, one) for one in arguments))
    assert (done.code, done.out) == (2, "")
    assert says in done.err
    assert (tmp_path / "own.html").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("which", ["six", "job"])
def test_one_sheet_of_paper(vireton, examples, tmp_path, paper, which):
    """Of the file that leaves most open, whose doubts are the longest, and of a job."""
    need("pdfinfo", "pdftotext")
    six = tmp_path / "six.toml"
    six.write_text(SIX, encoding="utf-8")
    bow = six if which == "six" else job_of(examples, tmp_path)
    page, file = tmp_path / "card.html", tmp_path / "card.pdf"
    assert vireton("hunt", bow, "--draws", "8", "-o", page).code == 0
    with chromium(tmp_path / "profile") as browser:
        browser.set_window_size(390, 844)
        browser.get(page.as_uri())
        width, wide = (
            browser.execute_script(f"return document.documentElement.{one}")
            for one in ("clientWidth", "scrollWidth")
        )
        assert wide <= width
        high, broad = PAPERS[paper][1], PAPERS[paper][0]
        printed = browser.execute_cdp_cmd(
            "Page.printToPDF", {"paperWidth": broad, "paperHeight": high}
        )
    file.write_bytes(base64.b64decode(printed["data"]))
    told = subprocess.run(["pdfinfo", file], capture_output=True, text=True, check=True).stdout
    assert "Pages:           1\n" in told
    text = subprocess.run(["pdftotext", file, "-"], capture_output=True, text=True, check=True)
    assert "goes before any number here" in " ".join(text.stdout.split())
