"""The page in a real browser: sliders, keyboard, phone, paper, and silence on the network."""

import base64
import json
import subprocess
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest

from browser import chromium, need
from vireton.answers.shot import load, rig_for
from vireton.answers.tune import Tune
from vireton.report import look_up, page_html
from vireton.report.log_page import log_page
from vireton.report.setup_page import SetupPage, setup_page
from vireton.units.display import US

YARD, INCH, MPH = 0.9144, 0.0254, 0.44704
FAR = [20.0 * YARD, 40.0 * YARD, 60.0 * YARD]
WARNING = "DANGER: this arrow weighs 4.2 grains per pound of draw weight, under the minimum. " * 3
NOTE = "the string's push reaches 110 % of what would buckle this shaft between nock and rest. " * 2
#: Letter and A4, inches.
PAPERS = {"letter": (8.5, 11.0), "A4": (8.27, 11.69)}


@dataclass(frozen=True)
class Made:
    """A page on the disk and what it was made from."""

    page: object
    file: Path

    @property
    def tables(self):
        return self.page.whatif.tables


@pytest.fixture(scope="module")
def pages(tmp_path_factory, pytestconfig):
    need("chromium", "chromedriver")
    folder = tmp_path_factory.mktemp("pages")
    examples = pytestconfig.rootpath / "examples"
    long = folder / "long.toml"
    long.write_text(long_log(examples), encoding="utf-8")
    made = {
        "setup": setup_page(SetupPage.read({"setup": examples / "mill_bow.toml"}), US)[0],
        "log": log_page(Tune.read({"log": long, "distances": "20,40,50,60 yd"}), US)[0],
    }
    # as much again as a careful reader of parts has to say
    made["log"] = replace(made["log"], warnings=(WARNING,), notes=(NOTE, NOTE))
    found = {}
    for name, page in made.items():
        file = folder / f"{name}.html"
        file.write_text(page_html(page), encoding="utf-8")
        found[name] = Made(page, file)
    return found


def long_log(examples):
    """Twelve rounds with all that a round can hold and long notes, sideways still open."""
    parts = [f'schema = 1\nsetup = "{examples / "mill_bow.toml"}"\nname = "A long evening"\n']
    for k in range(1, 13):
        parts.append(
            f'[[round]]\nnumber = {k}\ndate = 2026-04-{k:02}\nrest_up = "0 in"\n'
            f'note = "{"a long note about the light and the wind of that evening, " * 3}"\n'
            '[[round.tear]]\narrow = "bare"\nat = "6 ft"\nright = "-1/4 in"\nup = "1/16 in"\n'
            '[[round.group]]\narrow = "fletched"\nat = "20 yd"\n'
            'shots = ["0.4 in, -0.2 in", "-0.5 in, 0.6 in", "0.2 in, -0.3 in"]\n'
            '[[round.group]]\narrow = "bare"\nat = "20 yd"\n'
            'shots = ["3.6 in, -0.9 in", "4.5 in, 0.2 in", "3.9 in, -0.4 in"]\n'
        )
    return "\n".join(parts)


@pytest.fixture(scope="module")
def browser(pages, tmp_path_factory):
    with chromium(tmp_path_factory.mktemp("profile")) as driver:
        driver.execute_cdp_cmd("Network.enable", {})
        yield driver


def size(browser, width, height):
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": width, "height": height, "deviceScaleFactor": 2, "mobile": True},
    )


def show(browser, made):
    size(browser, 360, 740)
    browser.get_log("performance")
    browser.get(made.file.as_uri())


def slide(browser, name, value):
    browser.execute_script(
        "const s = document.getElementById(arguments[0]); s.value = arguments[1];"
        "s.dispatchEvent(new Event('input', { bubbles: true }));",
        f"slide-{name}",
        value,
    )


def marks(browser):
    """Every mark: (face, mark) → (right, up, is it drawn)."""
    found = browser.execute_script(
        "return [...document.querySelectorAll('[data-mark]')].map((m) => ["
        "m.closest('svg').dataset.face, m.dataset.mark, +m.dataset.right, +m.dataset.up,"
        "getComputedStyle(m).display !== 'none']);"
    )
    return {(int(face), mark): (x, y, drawn) for face, mark, x, y, drawn in found}


def rows(browser):
    return browser.execute_script(
        "return Object.fromEntries([...document.querySelectorAll('[data-row]')].map((r) =>"
        "[r.dataset.row, [...r.querySelectorAll('td')].map((c) => c.textContent)]));"
    )


@pytest.mark.parametrize("name", ["setup", "log"])
def test_the_script_begins_with_what_the_page_says_without_it(browser, pages, name):
    show(browser, pages[name])
    live = rows(browser)
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    try:
        browser.get(pages[name].file.as_uri())
        browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})
        assert rows(browser) == live
        assert not browser.find_element("id", "controls").is_displayed()
        assert browser.find_element("id", "shown").is_displayed()
        assert browser.find_element("css selector", "svg.face").is_displayed()
    finally:
        browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})


@pytest.mark.parametrize("name", ["setup", "log"])
def test_sliders_move_the_impacts_to_where_the_simulator_says(browser, pages, name):
    made = pages[name]
    show(browser, made)
    before = marks(browser)
    reach = made.tables.reach
    random = np.random.default_rng(3)
    for _ in range(6):
        right, up = (int(random.integers(len(one))) for one in (reach.right, reach.up))
        wind = float(random.integers(-30, 31)) / 2.0
        for slider, value in (("right", right), ("up", up), ("wind", wind)):
            slide(browser, slider, value)
        seen = marks(browser)
        for case in range(len(made.tables.cases)):
            for kind in ("fletched", "bare"):
                read = look_up(made.tables, case, kind, right, up, wind * MPH) / INCH
                shown = [seen[k, f"{case}-{kind}"][:2] for k in range(len(read))]
                assert np.array(shown) == pytest.approx(read, abs=1e-6)
    assert seen != before


def test_what_the_page_shows_is_flown(browser, pages, pytestconfig):
    from vireton.flight.flight import Wind

    made = pages["setup"]
    show(browser, made)
    rig = rig_for(load(pytestconfig.rootpath / "examples" / "mill_bow.toml"))
    reach = made.tables.reach
    for right, up, wind in ((6, 2, 7.5), (0, 8, -11.0), (4, 4, 3.5)):
        for slider, value in (("right", right), ("up", up), ("wind", wind)):
            slide(browser, slider, value)
        seen = marks(browser)
        blown = replace(rig, conditions=replace(rig.conditions, wind=Wind(0.0, wind * MPH)))
        for kind in ("fletched", "bare"):
            flight = blown.shoot(
                getattr(rig, kind), FAR, float(reach.right[right]), float(reach.up[up])
            )
            for k in range(3):
                shown = np.array(seen[k, f"0-{kind}"][:2])
                flown = np.array([flight.right[k], flight.up[k]]) / INCH
                assert np.abs(shown - flown).max() <= made.tables.errors[k] / INCH


def test_the_ellipse_and_the_frame_follow(browser, pages):
    show(browser, pages["setup"])
    ask = (
        "const f = document.querySelector('[data-face=\"0\"]'), m = f.querySelector('[data-mark="
        '"0-bare"]\'); return [f.querySelector(\'[data-tick="1"]\').textContent, m.querySelector('
        "'ellipse').getAttribute('rx'), m.getAttribute('transform')];"
    )
    before = browser.execute_script(ask)
    slide(browser, "up", 8)
    slide(browser, "wind", 15)
    after = browser.execute_script(ask)
    assert all(a != b for a, b in zip(before, after, strict=True))


def test_vanes_off_leaves_the_bare_shaft(browser, pages):
    show(browser, pages["setup"])
    browser.find_element("css selector", 'input[value="bare"]').click()
    seen = marks(browser)
    assert seen[0, "0-bare"][2]
    assert not seen[0, "0-fletched"][2]
    assert not browser.find_element("css selector", '[data-row="0-apart-0"]').is_displayed()
    browser.find_element("css selector", 'input[value="fletched"]').click()
    assert marks(browser)[0, "0-fletched"][2]


def test_the_other_way_is_drawn_once_the_rest_moves_aside(browser, pages):
    show(browser, pages["setup"])
    row = browser.find_element("css selector", '[data-row="1-bare-0"]')
    for right, is_drawn in ((4, False), (6, True), (4, False)):
        slide(browser, "right", right)
        assert marks(browser)[0, "1-bare"][2] == row.is_displayed() == is_drawn


def test_the_keyboard_reaches_and_moves_everything(browser, pages):
    from selenium.webdriver.common.keys import Keys

    show(browser, pages["log"])
    presets = len(pages["log"].page.whatif.presets)
    body = browser.find_element("tag name", "body")
    body.send_keys(Keys.TAB)
    reached = []
    for _ in range(4 + presets):
        at = browser.switch_to.active_element
        reached.append(at.get_attribute("id") or at.get_attribute("name") or at.text)
        outline = at.value_of_css_property("outline-width")
        assert float(outline.removesuffix("px")) >= 2.0, reached[-1]
        if reached[-1] == "slide-up":
            before, said = marks(browser), at.get_attribute("aria-valuetext")
            at.send_keys(Keys.ARROW_RIGHT)
            assert marks(browser)[0, "0-bare"] != before[0, "0-bare"]
            assert at.get_attribute("aria-valuetext") != said
        at.send_keys(Keys.TAB)
    assert reached[:4] == ["slide-right", "slide-up", "slide-wind", "vanes"]
    assert reached[4:] == [label for label, _ in pages["log"].page.whatif.presets]


def test_buttons_put_the_sliders_where_they_say(browser, pages):
    what = pages["log"].page.whatif
    assert [label for label, _ in what.presets] == ["Reset to the advised move", "Reset to no move"]
    show(browser, pages["log"])
    start = marks(browser)
    buttons = browser.find_elements("css selector", "[data-preset]")
    buttons[1].click()
    assert browser.find_element("id", "said-right").text == "sideways unmoved"
    assert marks(browser)[0, "0-fletched"][:2] == pytest.approx((0.0, 0.0), abs=0.006)
    buttons[0].click()
    assert marks(browser) == start


@pytest.mark.parametrize("name", ["setup", "log"])
def test_silent_and_alone(browser, pages, name):
    show(browser, pages[name])
    for slider in ("right", "up", "wind"):
        slide(browser, slider, 2)
    assert browser.get_log("browser") == []
    asked = [
        message["params"]["request"]["url"]
        for entry in browser.get_log("performance")
        if (message := json.loads(entry["message"])["message"])["method"]
        == "Network.requestWillBeSent"
    ]
    assert set(asked) == {pages[name].file.as_uri()}


@pytest.mark.parametrize("name", ["setup", "log"])
def test_a_phone_shows_it_without_sideways_scrolling(browser, pages, name):
    show(browser, pages[name])
    wide, small = browser.execute_script(
        "const e = [...document.querySelectorAll('p, li, th, td, output, label, button')]"
        ".filter((x) => x.checkVisibility());"
        "return [document.documentElement.scrollWidth,"
        "Math.min(...e.map((x) => parseFloat(getComputedStyle(x).fontSize)))];"
    )
    assert wide <= 360
    assert small >= 14.0
    # nor does the table of single changes, and each of its cells says from how far
    inner = browser.execute_script(
        "const w = document.querySelector('.wide');"
        "return [w.scrollWidth, w.clientWidth, getComputedStyle("
        "w.querySelector('td'), '::before').content];"
    )
    assert inner[0] <= inner[1]
    assert inner[2] == '"20 yd"'
    # what a finger has to hit
    for one in browser.find_elements("css selector", "button, input[type=range]"):
        assert one.size["height"] >= 24


def luminance(color):
    parts = [int(one) / 255.0 for one in color[color.index("(") + 1 : -1].split(",")[:3]]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_text_and_marks_stand_out_from_the_paper(browser, pages):
    """Contrast 4.5 for text and 3 for marks (W3C 2018, WCAG 2.1, criteria 1.4.3 and 1.4.11)."""
    show(browser, pages["log"])
    inks = browser.execute_script(
        "const c = (q, p) => [...document.querySelectorAll(q)].map((x) => getComputedStyle(x)[p]);"
        "return [[...new Set(c('p, li, th, td, output, label, button', 'color'))],"
        "[...new Set([...c('.dot, .where, .seen, .frame, .middle', 'stroke')])]];"
    )
    for colors, least in zip(inks, (4.5, 3.0), strict=True):
        for color in colors:
            assert 1.05 / (luminance(color) + 0.05) >= least, color


@pytest.mark.parametrize("name", ["setup", "log"])
@pytest.mark.parametrize("paper", PAPERS)
def test_one_sheet_of_paper(browser, pages, tmp_path, name, paper):
    need("pdfinfo", "pdftotext")
    show(browser, pages[name])
    width, height = PAPERS[paper]
    printed = browser.execute_cdp_cmd(
        "Page.printToPDF", {"paperWidth": width, "paperHeight": height}
    )
    file = tmp_path / "page.pdf"
    file.write_bytes(base64.b64decode(printed["data"]))
    told = subprocess.run(["pdfinfo", file], capture_output=True, text=True, check=True).stdout
    assert "Pages:           1\n" in told
    text = subprocess.run(
        ["pdftotext", "-layout", file, "-"], capture_output=True, text=True, check=True
    ).stdout
    assert pages[name].page.advice.call in " ".join(text.split())
    assert "Before you shoot" in text
    assert "Shown: rest" in text
