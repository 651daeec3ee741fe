"""A shop of one invented bow, and the bench page that serves it."""

import itertools
import secrets
import shutil
import subprocess
import tarfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from bench_page.served import CHROMIUM, FLAGS, PATIENCE, Phone, Served, serving
from browser import need
from vireton_bench.app import Bench, make_app
from vireton_bench.lanes import Lanes
from vireton_bench.shop import Shop

EXAMPLES = Path(__file__).parents[2] / "examples"
HOST = "127.0.0.1:8484"
_count = itertools.count(1)
Make = Callable[..., Phone]
HERE = {"origin": f"http://{HOST}", "sec-fetch-site": "same-origin"}


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A folder with the Mill bow and its job."""
    folder = tmp_path / "shop"
    folder.mkdir()
    for name in ("mill_bow.toml", "mill_log.toml"):
        shutil.copy(EXAMPLES / name, folder)
    return folder


@pytest.fixture
def job(shop: Path) -> Path:
    """The Mill bow's job."""
    return shop / "mill_log.toml"


def bench_of(folder: Path, secret: str | None = None, **given: Any) -> Any:
    """The guarded application; it computes in this process."""
    return make_app(Bench(Shop(folder), Lanes(0), **given), frozenset({HOST}), secret)


def client_of(app: Any) -> TestClient:
    return TestClient(app, base_url=f"http://{HOST}", headers=HERE, follow_redirects=False)


@pytest.fixture
def client(shop: Path) -> Iterator[TestClient]:
    """A phone on this computer."""
    with client_of(bench_of(shop)) as one:
        yield one


@pytest.fixture
def entry() -> Callable[..., dict[str, Any]]:
    """An entry as the page makes it; a bare tear unless it says otherwise."""

    def make(do: str = "add", **given: Any) -> dict[str, Any]:
        typed = {"tear": [["bare", "right 1/16 in, high 1/16 in"]], "at": "6 ft"}
        return {
            "id": secrets.token_hex(16),
            "do": do,
            "date": "2026-05-02",
            "typed": typed if do == "add" else {},
        } | given

    return make


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    need(CHROMIUM)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as one:
        found = one.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        yield found
        found.close()


@pytest.fixture(scope="module")
def bench(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A bench page of the Mill bow, as it runs in a shop."""
    folder = tmp_path_factory.mktemp("shop")
    shutil.copy(EXAMPLES / "mill_bow.toml", folder)
    with serving(folder) as one:
        yield one


@pytest.fixture
def mill(bench: Served) -> Path:
    """A job of this test's own."""
    path = bench.folder / f"mill_{next(_count)}.toml"
    shutil.copy(EXAMPLES / "mill_log.toml", path)
    return path


@pytest.fixture
def patience() -> int:
    """ms that a phone waits for the page."""
    return PATIENCE


@pytest.fixture
def phone(browser: Any, bench: Served, patience: int) -> Iterator[Make]:
    """Makes phones that look at the bench."""
    made: list[Phone] = []

    def make(**given: Any) -> Phone:
        made.append(Phone(browser, bench.url, **given))
        made[-1].context.set_default_timeout(patience)
        return made[-1]

    yield make
    for one in made:
        one.context.close()


@pytest.fixture(scope="session")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The text of axe-core, from the registry of its packages; never kept here."""
    folder = tmp_path_factory.mktemp("axe")
    if shutil.which("npm") is None:
        pytest.skip("no npm here to get axe-core with")
    got = subprocess.run(
        ["npm", "pack", "axe-core@4", "--silent"],
        cwd=folder, capture_output=True, text=True, timeout=90, check=False,
    )  # fmt: skip
    if got.returncode != 0:
        pytest.skip("axe-core cannot be had from npm")
    with tarfile.open(next(folder.glob("*.tgz"))) as packed:
        inside = packed.extractfile("package/axe.min.js")
        assert inside is not None
        return inside.read().decode()
