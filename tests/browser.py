"""A real browser without a window, for pages. Chromium and its driver are the distribution's."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

_DRIVER, _CHROMIUM = "/usr/bin/chromedriver", "/usr/bin/chromium"
_QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def need(*programs: str) -> None:
    """Skip where a program is not installed; fail where the checks of a change run."""
    missing = [one for one in programs if shutil.which(one) is None]
    if not missing:
        return
    said = f"{', '.join(missing)} not installed: apt-get install chromium chromium-driver"
    if os.environ.get("CI") == "true":
        pytest.fail(said)
    pytest.skip(said)


@contextmanager
def chromium(folder: Path) -> Iterator["webdriver.Chrome"]:  # noqa: F821
    """A browser with an empty profile in ``folder``; logs what its console and network say."""
    need(_CHROMIUM, _DRIVER)
    pytest.importorskip("selenium")  # not among the oldest versions: a browser is ever new
    from selenium import webdriver
    from selenium.webdriver.chrome.service import Service

    options = webdriver.ChromeOptions()
    options.binary_location = _CHROMIUM
    for flag in (*_QUIET, f"--user-data-dir={folder}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    driver = webdriver.Chrome(options=options, service=Service(executable_path=_DRIVER))
    try:
        yield driver
    finally:
        driver.quit()
