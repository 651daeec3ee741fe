"""``vireton report --card``: the sheet that goes home with a bow, and its paper."""

import base64
import json
import subprocess
import sys
from pathlib import Path

import pytest

from browser import chromium, need

sys.path.append(str(Path(__file__).parents[1] / "sim" / "report"))

from cards import CARD, DANGER, long_card

from vireton.report.card_page import card_html

#: Letter and A4, inches.
PAPERS = {"letter": (8.5, 11.0), "A4": (8.27, 11.69)}
CARDS = {
    "usual": CARD,
    "many changes": long_card(300, 5),
    "many changes and measures": long_card(300, 17),
    "many sentences": long_card(300, 12, 1, sentences=True),
    "all that can be typed": long_card(300, 17, 2, 3, sentences=True, wide=True),
}


#: mm beside and above and below, as the style sheet has them.
MARGINS = (14.0, 11.0)


@pytest.fixture
def job(vireton, setup_file, tmp_path):
    path = tmp_path / "job.toml"
    vireton(
        "record",
        path,
        "--setup",
        setup_file,
        "--owner",
        "A. <b>Customer</b>",
        "--complaint",
        "flies left",
        "-m",
        "draw weight 60 lb",
        "-t",
        "bare",
        "left 1/8 in",
    )
    vireton("record", path, "-r", "right 1/32 in", "-t", "bare", "clean")
    return path  # fmt: skip


def test_a_card_of_a_job_before_and_after_it_is_handed_over(vireton, job, tmp_path):
    page = tmp_path / "card.html"
    done = vireton("report", job, "--card", "-o", page)
    assert done.code == 0, done.err
    assert done.out.endswith("not handed over yet\n")
    vireton("record", job, "-m", "draw weight 58 lb", "--done")
    done = vireton("report", job, "--card", "-o", page)
    assert done.code == 0, done.err
    assert "handed over 20" in done.out
    text = page.read_text(encoding="utf-8")
    assert "A. &lt;b&gt;Customer&lt;/b&gt;" in text
    assert "In all the rest moved right 1/32 in" in text
    assert str(tmp_path) not in text


def test_json_of_a_card(vireton, job, tmp_path):
    done = vireton("report", job, "--card", "-o", tmp_path / "card.html", "--json")
    told = json.loads(done.out)
    assert told["from"] == "card"
    assert told["measured"][0]["received"] == "60 lb"
    assert not told["is_done"]


def test_what_is_no_job_has_no_card(vireton, setup_file, job, tmp_path):
    done = vireton("report", setup_file, "--card", "-o", tmp_path / "card.html")
    assert done.code == 2
    assert "is no job" in done.err
    done = vireton("report", job, "--card", "-o", tmp_path / "card.html", "--distances", "20 yd")
    assert done.code == 2
    assert "a card has its own distances" in " ".join(done.err.split())
    done = vireton("report", job, "--card", "-o", tmp_path / "card.pdf")
    assert done.code == 2
    assert ".html" in done.err
    assert vireton("report", tmp_path / "no.toml", "--card", "-o", tmp_path / "c.html").code == 2


@pytest.fixture(scope="module")
def browser(tmp_path_factory):
    need("chromium", "chromedriver")
    with chromium(tmp_path_factory.mktemp("profile")) as driver:
        yield driver


def show(browser, card, file):
    file.write_text(card_html(card), encoding="utf-8")
    browser.get(file.as_uri())


@pytest.mark.parametrize("name", CARDS)
@pytest.mark.parametrize("paper", PAPERS)
def test_one_sheet_of_paper(tmp_path, paper, name):
    need("pdfinfo", "pdftotext")
    # a browser that has printed, or shown a page as on paper, at times prints no more
    with chromium(tmp_path / "profile") as browser:
        show(browser, CARDS[name], tmp_path / "card.html")
        width, height = PAPERS[paper]
        printed = browser.execute_cdp_cmd(
            "Page.printToPDF", {"paperWidth": width, "paperHeight": height}
        )
        file = tmp_path / "card.pdf"
    file.write_bytes(base64.b64decode(printed["data"]))
    told = subprocess.run(["pdfinfo", file], capture_output=True, text=True, check=True).stdout
    assert "Pages:           1\n" in told
    text = subprocess.run(["pdftotext", file, "-"], capture_output=True, text=True, check=True)
    printed_words = " ".join(text.stdout.split())
    assert "goes before any number here" in printed_words
    # what can hurt someone is never cut
    assert printed_words.count(DANGER) == len(CARDS[name].dangers)


def test_any_number_of_lines_has_room_on_the_lower_sheet(browser, tmp_path):
    """By the height of the page as it is laid out for paper, 96 px an inch."""
    width, height = PAPERS["letter"]
    room = (height - 2.0 * MARGINS[1] / 25.4) * 96.0
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {
            "width": round((width - 2.0 * MARGINS[0] / 25.4) * 96.0),
            "height": round(room),
            "deviceScaleFactor": 1,
            "mobile": False,
        },
    )
    try:
        for measured in (9, 17):
            for done in (*range(1, 20, 3), 300):
                for warnings, sentences in ((0, False), (0, True), (2, True)):
                    card = long_card(done, measured, warnings, warnings, sentences=sentences)
                    show(browser, card, tmp_path / "card.html")
                    high = browser.execute_script("return document.body.offsetHeight")
                    assert high <= room, (measured, done, warnings, sentences)
    finally:
        browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})


@pytest.mark.parametrize("name", ["usual", "all that can be typed"])
def test_nothing_is_wider_than_its_sheet_or_a_phone(browser, tmp_path, name):
    """A browser shrinks what is too wide for the paper: then the type would be too small."""
    page = tmp_path / "card.html"
    page.write_text(card_html(CARDS[name]), encoding="utf-8")
    browser.get(page.as_uri())
    for media, widths in (("print", (700,)), ("screen", (360, 1000))):
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": media})
        for width in widths:
            browser.execute_cdp_cmd(
                "Emulation.setDeviceMetricsOverride",
                {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": True},
            )
            wide = browser.execute_script("return document.documentElement.scrollWidth")
            assert wide <= width, (media, width)
    browser.execute_cdp_cmd("Emulation.clearDeviceMetricsOverride", {})
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    assert browser.get_log("browser") == []
