"""A whole tuning tapped on a phone's screen: how many taps and seconds a round?

``python validation/bench_taps.py [SEED]``. The rest of an invented customer's Mill bow stands 3/32
in too low and 1/32 in left of where it shoots clean; its arrows fly as the library says, and
scatter. The advice of the page is followed from the first tear to the hand-over: every touch is
counted, and the time from the last tap of a round to the answer. Real Chromium at 390×844.
"""

import shutil
import statistics
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import numpy as np
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests"))

from bench_page.served import CHROMIUM, FLAGS, Phone, Served, serving  # noqa: E402
from vireton.answers.shot import load, rig_for  # noqa: E402
from vireton.job import create_log  # noqa: E402
from vireton.rig import Rig  # noqa: E402
from vireton.units.numbers import FOOT, INCH, YARD  # noqa: E402
from vireton.units.text import parse  # noqa: E402

MOST_ROUNDS = 12
OFF = complex(-1.0, -3.0) * INCH / 32.0
SCATTER = 0.5 * INCH  # of one arrow at 20 yd, each way
GRAIN = INCH / 16.0


class Bow:
    """The truth: where the rest stands of where it would shoot clean, m right and up."""

    def __init__(self, rig: Rig, seed: int) -> None:
        self.rig, self.off, self.chance = rig, OFF, np.random.default_rng(seed)

    def tear(self) -> tuple[float, float]:
        """At 6 ft as it is read, in."""
        seen = self.rig.tear(self.rig.bare, 6.0 * FOOT, self.off.real, self.off.imag)
        right, up = (round(one / GRAIN) * GRAIN / INCH for one in seen)
        return right, up

    def shot(self, kind: str) -> tuple[float, float]:
        """Where one arrow lands at 20 yd, in."""
        arrow = getattr(self.rig, kind)
        flown = self.rig.shoot(arrow, [20.0 * YARD], self.off.real, self.off.imag)
        spread = self.chance.normal(0.0, SCATTER, 2)
        return (
            float(flown.right[0] + spread[0]) / INCH,
            float(flown.up[0] + spread[1]) / INCH,
        )


class Thumb:
    """Counts what it touches."""

    def __init__(self, phone: Phone) -> None:
        self.phone, self.taps = phone, 0

    def tap(self, words: str) -> None:
        """A button."""
        self.phone.tap(words)
        self.taps += 1

    def on_board(self, right: float, up: float) -> None:
        """A place on the sheet, inches."""
        board = self.phone.page.locator(".board")
        half = float(board.get_attribute("data-half"))
        box = board.bounding_box()
        scale = min(box["width"], box["height"]) / 2.0 / half
        self.phone.tap_board(right * scale, up * scale)
        self.taps += 1

    def send(self) -> float:
        """The last tap of a round; s until the answer stands there."""
        page = self.phone.page
        began = time.monotonic()
        page.locator(".send .first").tap()
        self.taps += 1
        while True:
            page.wait_for_function(
                "() => document.querySelector('dialog').open || "
                "(document.querySelector('.call') && !document.querySelector('.work'))"
            )
            if not page.evaluate("document.querySelector('dialog').open"):
                break
            page.locator("#ask-acts button").first.tap()  # as it was tapped in
            self.taps += 1
        return time.monotonic() - began


def play_round(thumb: Thumb, bow: Bow, advice: dict[str, Any]) -> float:
    """What the page asks for, tapped in; s until the answer."""
    if advice["verdict"] == "move":
        thumb.tap("I did this")
        for text in (advice["move"]["rest"] or "").split(", "):
            if text:
                side, size = text.split(" ", 1)
                bow.off += _meters(size) * {"right": 1, "left": -1, "up": 1j, "down": -1j}[side]
        return thumb.send()
    if advice["test"]["kind"] == "tear":
        thumb.tap("Paper tear")
        thumb.on_board(*bow.tear())
        return thumb.send()
    thumb.tap("Shots")
    for kind in ("fletched", "bare"):
        if kind == "bare":
            thumb.phone.pick("Bare")
            thumb.taps += 1
        for _ in range(advice["test"]["count"]):
            thumb.on_board(*bow.shot(kind))
    return thumb.send()


def _meters(text: str) -> float:
    return parse(text, "length")


def play(bench: Served, browser: Any, seed: int) -> None:
    """From the first tear to the hand-over."""
    bow = Bow(rig_for(load(None)), seed)
    thumb = Thumb(Phone(browser, bench.url))
    phone = thumb.phone.open("mill")
    taps, took, rounds = [], [], 0
    while rounds < MOST_ROUNDS:
        phone.page.wait_for_function("() => !document.querySelector('.work')")
        advice = phone.page.evaluate("fetch('/api/jobs/mill/advice').then((one) => one.json())")
        advice = advice["advice"]
        print(f"  {advice['call']}: {advice['why']}")
        if advice["verdict"] not in ("move", "shoot"):
            break
        before = thumb.taps
        took.append(play_round(thumb, bow, advice))
        taps.append(thumb.taps - before)
        rounds += 1
    thumb.tap("Done")
    phone.wait("Sight")
    thumb.tap("Hand it over")
    phone.wait("Handed over")
    left = bow.off * 32.0 / INCH
    print(f"{rounds} rounds, {thumb.taps} taps with the hand-over: {taps} a round")
    print(f"rest now {left.real:+.1f}/32 in right, {left.imag:+.1f}/32 in up of clean")
    print(f"tap to answer: median {statistics.median(took):.2f} s, longest {max(took):.2f} s")


def main() -> None:
    """One tuning."""
    seed = int(sys.argv[1]) if len(sys.argv) > 1 else 1
    with tempfile.TemporaryDirectory() as place, sync_playwright() as run:
        folder = Path(place)
        shutil.copy(ROOT / "examples" / "mill_bow.toml", folder)
        create_log(folder / "mill.toml", folder / "mill_bow.toml")
        browser = run.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        with serving(folder) as bench:
            play(bench, browser, seed)
        browser.close()


if __name__ == "__main__":
    main()
