"""A bench page that runs as it does in a shop, and phones that look at it."""

import os
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

CHROMIUM = "/usr/bin/chromium"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
]
#: ms
PATIENCE = 15_000
PHONE, TABLET, DESK = (390, 844), (820, 1180), (1280, 800)
#: What is too small for a thumb.
SMALL = """() => [...document.querySelectorAll('button, a, select, input, textarea')]
  .map((one) => [one, (one.type === 'radio' ? one.parentElement : one).getBoundingClientRect()])
  .filter(([, box]) => box.width && (box.width < 47.5 || box.height < 47.5))
  .map(([one, box]) => `${one.textContent} ${box.width}x${box.height}`)"""
_CODE = "from vireton_cli.main import run\nif __name__ == '__main__': run()"


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def pictures_in(usual: Path) -> Path:
    """Where pictures of screens are kept for whoever looks at them."""
    folder = Path(os.environ.get("VIRETON_SCREENS", usual))
    folder.mkdir(parents=True, exist_ok=True)
    return folder


@dataclass
class Served:
    """``vireton bench`` on a folder, at a port of its own that it keeps."""

    folder: Path
    port: int = field(default_factory=free_port)
    process: "subprocess.Popen[str] | None" = None

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    def start(self) -> None:
        self.process = subprocess.Popen(
            [sys.executable, "-c", _CODE, "bench", str(self.folder), "--port", str(self.port)],
            stdout=subprocess.DEVNULL,
            text=True,
            env={**os.environ, "PYTHONIOENCODING": "utf-8"},
        )
        for _ in range(1200):
            try:
                with urllib.request.urlopen(f"{self.url}api/state", timeout=5) as answer:
                    if b'"warm":true' in answer.read():
                        return
            except (urllib.error.URLError, OSError):
                pass
            time.sleep(0.1)
        raise AssertionError("the bench page does not answer")

    def kill(self) -> None:
        assert self.process is not None
        self.process.kill()
        self.process.wait()


@contextmanager
def serving(folder: Path) -> Iterator[Served]:
    one = Served(folder)
    one.start()
    try:
        yield one
    finally:
        one.kill()


class Phone:
    """A page of a browser, and what a thumb does on it. ``wrong``: what its console said."""

    def __init__(self, browser: Any, url: str, size: tuple[int, int] = PHONE, **given: Any) -> None:
        self.context = browser.new_context(
            viewport={"width": size[0], "height": size[1]}, has_touch=True, **given
        )
        self.context.set_default_timeout(PATIENCE)
        self.page = self.context.new_page()
        self.wrong: list[str] = []
        self.page.on(
            "console",
            lambda one: self.wrong.append(one.text) if one.type in ("error", "warning") else None,
        )
        self.page.on("pageerror", lambda one: self.wrong.append(str(one)))
        self.url = url

    def open(self, job: str, sheet: str = "") -> "Phone":
        self.page.goto(f"{self.url}#/job/{job}{'/' + sheet if sheet else ''}")
        self.page.wait_for_selector("#view.sheet" if sheet else ".taps")
        return self

    def tap(self, words: str) -> None:
        """What carries these words, as a person finds it."""
        self.page.get_by_role("button", name=words, exact=True).or_(
            self.page.get_by_role("link", name=words, exact=True)
        ).first.tap()

    def pick(self, words: str) -> None:
        self.page.get_by_role("radio", name=words, exact=True).tap()

    def tap_board(self, right: float, up: float) -> None:
        """So many px from the middle of the sheet."""
        box = self.page.locator(".board").bounding_box()
        self.page.touchscreen.tap(
            box["x"] + box["width"] / 2 + right, box["y"] + box["height"] / 2 - up
        )

    def record(self, words: str = "Record") -> None:
        self.page.locator(".send .first").get_by_text(words).tap()

    def wait(self, words: str) -> None:
        self.page.get_by_text(words).first.wait_for()

    def check_fits(self, screen: str, picture: Path) -> None:
        """Nothing is wider than the screen or too small for a thumb; a ``picture`` is kept."""
        assert self.page.evaluate("document.documentElement.scrollWidth <= innerWidth"), screen
        assert self.page.evaluate(SMALL) == [], screen
        self.page.screenshot(path=picture)

    def barriers(self, screen: str, axe: str, within: str = "document") -> list[str]:
        """What axe-core finds, by its text, in a part of the page."""
        self.page.evaluate(axe)
        told = self.page.evaluate(f"axe.run({within}).then((r) => r.violations)")
        return [
            f"{screen}: {each['id']}: {node['html'][:120]} {node['failureSummary'][:160]}"
            for each in told
            for node in each["nodes"]
        ]

    @property
    def readout(self) -> str:
        return str(self.page.locator(".readout").inner_text()).replace("\xa0", " ")
