"""A picture sent to the bench: what is taken, found, read; what is refused; what is let go."""

import asyncio
import io
import struct
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from PIL import Image
from scipy import ndimage
from starlette.testclient import TestClient

import camera
from bench_page.conftest import HOST, bench_of, client_of
from vireton.paper import CORNERS, MARKS, PAPERS
from vireton.photo import PIXELS_PER_INCH
from vireton.photo.straighten import MOST_BYTES
from vireton.plots import group_middle
from vireton_bench.guard import BURST, PICTURE, Guard
from vireton_bench.picture import KEPT, OF_ALL, OF_ONE, NoSuchPictureError, Pictures

AT = "/api/pictures"
JPEG = {"content-type": "image/jpeg"}
SIZE, FILL = (2000, 1500), (0.75, 0.9)
POINT = (3.6, 5.2)
TAIL = (3.6 - 3 / 16, 5.2 + 3 / 8)


def shot_of(seed: int, **how: Any) -> camera.Shot:
    rng = np.random.default_rng((11, seed))
    return camera.shoot(rng, np.array([POINT, TAIL]), size=SIZE, fill=FILL, **how)


def covered(*corners: str) -> Any:
    """What lays paper over these marks of a letter sheet."""

    def spoil(light: Any) -> None:
        for corner in corners:
            x, y = MARKS["letter"][corner]  # type: ignore[index]
            up = PAPERS["letter"][1] - y
            rows = slice(*(int((up + d) * camera.DOTS) for d in (-0.3, 0.3)))
            columns = slice(*(int((x + d) * camera.DOTS) for d in (-0.3, 0.3)))
            light[rows, columns] = camera.PAPER_WHITE

    return spoil


@pytest.fixture(scope="module")
def shot() -> camera.Shot:
    return shot_of(1)


@pytest.fixture(scope="module")
def three() -> camera.Shot:
    """Without the mark that tells the paper."""
    return shot_of(2, spoil=covered("upper left"))


@pytest.fixture(scope="module")
def none() -> camera.Shot:
    return shot_of(3, spoil=covered(*CORNERS))


def send(client: TestClient, content: bytes, kind: str = "image/jpeg") -> str:
    answer = client.post(AT, content=content, headers={"content-type": kind})
    assert answer.status_code == 201
    name: str = answer.json()["id"]
    assert len(name) >= 20
    return name


def find(client: TestClient, name: str, **given: Any) -> dict[str, Any]:
    answer = client.post(f"{AT}/{name}", json={"kind": "tear"} | given)
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def on_sheet(*places: tuple[float, float], paper: str = "letter") -> list[list[float]]:
    """Inches on the sheet as pixels of the straightened image."""
    high = PAPERS[paper][1]  # type: ignore[index]
    return [[x * PIXELS_PER_INCH - 0.5, (high - y) * PIXELS_PER_INCH - 0.5] for x, y in places]


def taps_of(shot: camera.Shot, found: dict[str, Any], *corners: str) -> dict[str, list[float]]:
    """Where the middles of marks are in the image that is shown."""
    middles = shot.pixels(np.array([MARKS["letter"][one] for one in corners]))  # type: ignore[index]
    shrink = shot.size[0] / found["width"]
    return {one: list((at + 0.5) / shrink - 0.5) for one, at in zip(corners, middles, strict=True)}


def tear(client: TestClient, name: str, **given: Any) -> dict[str, Any]:
    start, end = on_sheet(POINT, TAIL)
    taps = {"start": start, "ends": [end], "scale": 1.0} | given
    answer = client.post(f"{AT}/{name}/taps", json=taps)
    assert answer.status_code == 200, answer.text
    told: dict[str, Any] = answer.json()
    return told


def test_a_tear_is_read_in_inches_with_its_error(client: TestClient, shot: camera.Shot) -> None:
    name = send(client, shot.file)
    found = find(client, name)
    assert found["paper"] == "letter"
    assert (found["width"], found["height"]) == (1700, 2200)
    assert found["middle"] is None
    image = client.get(f"{AT}/{name}/image")
    assert image.headers["content-type"] == "image/jpeg"
    assert image.headers["cache-control"] == "no-store"
    assert Image.open(io.BytesIO(image.content)).size == (1700, 2200)
    told = tear(client, name)
    assert told["inches"][0] == pytest.approx([-3 / 16, 3 / 8], abs=0.01)
    assert told["give"] == "1/32 in"


def test_a_tap_from_farther_off_is_trusted_less(client: TestClient, shot: camera.Shot) -> None:
    name = send(client, shot.file)
    find(client, name)
    near, far = tear(client, name, scale=0.3), tear(client, name, scale=5.0)
    assert near["give"] == "1/32 in"  # no tap is better than that, however near it is seen
    assert far["give_in"] > 4.0 * near["give_in"]


def test_shots_are_read_from_where_was_aimed(client: TestClient, shot: camera.Shot) -> None:
    name = send(client, shot.file)
    found = find(client, name, kind="shots")
    right, up = group_middle("letter", "us")
    assert found["middle"] == pytest.approx(on_sheet((right, up))[0])
    start, *ends = on_sheet((4.0, 6.0), (5.0, 6.5), (3.5, 4.0))
    answer = client.post(f"{AT}/{name}/taps", json={"start": start, "ends": ends, "scale": 1.0})
    inches = answer.json()["inches"]
    assert inches[0] == pytest.approx([1.0, 0.5], abs=0.02)
    assert inches[1] == pytest.approx([-0.5, -2.0], abs=0.02)


def test_one_missing_mark_is_asked_for_and_tapped(client: TestClient, three: camera.Shot) -> None:
    name = send(client, three.file)
    found = find(client, name)
    assert found["missing"] == ["upper left"]
    assert "tap the middle of the upper left mark" in found["problem"]
    shown = Image.open(io.BytesIO(client.get(f"{AT}/{name}/image").content))
    assert shown.size == (found["width"], found["height"])
    assert client.post(f"{AT}/{name}/taps", json={}).status_code == 409
    taps = taps_of(three, found, "upper left")
    found = find(client, name, taps=taps, paper="letter")
    assert found["width"] == 1700
    assert tear(client, name)["inches"][0] == pytest.approx([-3 / 16, 3 / 8], abs=1 / 32)


def test_without_any_mark_four_taps_do(client: TestClient, none: camera.Shot) -> None:
    name = send(client, none.file)
    found = find(client, name)
    assert found["missing"] == list(CORNERS) or set(found["missing"]) == set(CORNERS)
    assert "black squares" in found["problem"]
    taps = taps_of(none, found, *CORNERS)
    assert find(client, name, taps=taps, paper="letter")["paper"] == "letter"
    told = tear(client, name)
    assert told["inches"][0] == pytest.approx([-3 / 16, 3 / 8], abs=1 / 32)


def test_wrong_taps_are_told_and_may_be_put_again(client: TestClient, none: camera.Shot) -> None:
    name = send(client, none.file)
    found = find(client, name)
    right = taps_of(none, found, *CORNERS)
    crossed = {**right, "upper left": right["lower left"], "lower left": right["upper left"]}
    wrong = find(client, name, taps=crossed, paper="letter")
    assert "each at its own corner" in wrong["problem"]
    assert set(wrong["missing"]) == set(CORNERS)
    assert client.post(f"{AT}/{name}/taps", json={}).status_code == 409
    assert find(client, name, taps=right, paper="letter")["paper"] == "letter"


def test_a_sheet_that_is_not_flat_is_no_matter_of_taps(client: TestClient) -> None:
    """Marks that all were found and do not fit: nobody is asked to tap them."""

    def curled(light: Any) -> None:
        for number, (x, y) in enumerate(MARKS["letter"].values()):
            column, row = int(x * camera.DOTS), int((PAPERS["letter"][1] - y) * camera.DOTS)
            part = light[row - 80 : row + 80, column - 80 : column + 80]
            turned = ndimage.rotate(part, (4.0, -4.0)[number % 2], reshape=False, cval=0.85)
            part[:] = turned

    name = send(client, shot_of(4, spoil=curled).file)
    found = find(client, name)
    assert found["missing"] == []
    assert "lay the sheet flat" in found["problem"]


def png_of(width: int, height: int) -> bytes:
    """A PNG that says so many pixels, in a few bytes."""

    def chunk(kind: bytes, inside: bytes) -> bytes:
        check = struct.pack(">I", zlib.crc32(kind + inside))
        return struct.pack(">I", len(inside)) + kind + inside + check

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    rows = zlib.compress(b"\0" * 10_000_000, 9)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    ("content", "word"),
    [
        (b"GIF89a no picture at all", "JPEG or PNG"),
        (b"", "JPEG or PNG"),
        (b"\xff\xd8\xff\xe0 cut off", "JPEG or PNG"),
        (png_of(30_000, 30_000), "40 megapixels"),
        (png_of(200, 200), "too small"),
    ],
)
def test_what_is_no_picture_of_a_sheet_is_refused_and_let_go(
    client: TestClient, content: bytes, word: str
) -> None:
    name = send(client, content)
    answer = client.post(f"{AT}/{name}", json={"kind": "tear"})
    assert answer.status_code == 422
    assert word in answer.json()["refused"]
    assert client.post(f"{AT}/{name}", json={"kind": "tear"}).status_code == 404


def test_only_pictures_are_taken_and_only_there(client: TestClient, shot: camera.Shot) -> None:
    for kind in ("image/gif", "image/svg+xml", "application/json", "text/plain"):
        answer = client.post(AT, content=shot.file, headers={"content-type": kind})
        assert answer.status_code == 415
    name = send(client, shot.file, "image/png")  # what it is, its first bytes tell
    for path in (f"{AT}/{name}", f"{AT}/{name}/taps", "/api/jobs/mill_log/entries"):
        answer = client.post(path, content=shot.file, headers=JPEG)
        assert answer.status_code == 415
        large = {"content-type": "application/json"}
        assert client.post(path, content=b"x" * 70_000, headers=large).status_code == 413


def test_a_picture_that_is_too_large_is_refused_whether_or_not_it_says_so(
    client: TestClient,
) -> None:
    assert PICTURE.bytes == MOST_BYTES
    large = b"\xff" * (MOST_BYTES + 1)
    answer = client.post(AT, content=large, headers=JPEG)
    assert answer.status_code == 413
    assert "20 MB" in answer.json()["problem"]
    pieces = iter([large[: MOST_BYTES // 2]] * 3)
    assert client.post(AT, content=pieces, headers=JPEG).status_code == 413


def test_a_phone_that_is_not_paired_sends_no_picture(shop: Path, shot: camera.Shot) -> None:
    with client_of(bench_of(shop, "a-secret-of-twenty-two")) as phone:
        assert phone.post(AT, content=shot.file, headers=JPEG).status_code == 401
        assert phone.get(f"{AT}/x/image").status_code == 401


def test_another_sites_page_sends_no_picture(client: TestClient, shot: camera.Shot) -> None:
    for headers in ({"origin": "http://evil.example"}, {"sec-fetch-site": "cross-site"}):
        answer = client.post(AT, content=shot.file, headers=JPEG | headers)
        assert answer.status_code == 403


def test_pictures_cost_more_of_the_rate_than_taps(shop: Path) -> None:
    app = bench_of(shop)
    app.clock = lambda: 0.0
    with client_of(app) as one:
        most = int(BURST / PICTURE.cost)
        found = [one.post(AT, content=b"x", headers=JPEG).status_code for _ in range(most + 1)]
    assert found == [201] * most + [429]


def test_only_a_few_pictures_arrive_at_a_time(shop: Path) -> None:
    """Those that are on their way hold their place until they are in."""
    app: Guard = bench_of(shop)
    started = asyncio.Event()
    answers: list[int] = []

    async def phone(arrives: asyncio.Event) -> None:
        async def receive() -> dict[str, Any]:
            started.set()
            await arrives.wait()
            return {"type": "http.request", "body": b"x", "more_body": False}

        async def told(message: Any) -> None:
            if message["type"] == "http.response.start":
                answers.append(message["status"])

        pairs = {"host": HOST, "origin": f"http://{HOST}", "content-type": "image/jpeg"}
        headers = [(key.encode(), value.encode()) for key, value in pairs.items()]
        scope = {"type": "http", "method": "POST", "path": AT, "headers": headers}
        await app({**scope, "query_string": b"", "root_path": ""}, receive, told)

    async def all_of_them() -> None:
        arrives = asyncio.Event()
        waiting = [asyncio.create_task(phone(arrives)) for _ in range(PICTURE.at_once)]
        await asyncio.sleep(0)
        await started.wait()
        await phone(arrives)
        assert answers == [429]
        arrives.set()
        await asyncio.gather(*waiting)
        await phone(arrives)

    asyncio.run(all_of_them())
    assert answers == [429] + [201] * (PICTURE.at_once + 1)


def test_old_pictures_are_let_go(client: TestClient) -> None:
    now = 0.0
    kept = Pictures(clock=lambda: now)
    first = kept.add(b"1", "one phone")
    now = KEPT + 1.0
    with pytest.raises(NoSuchPictureError, match="Take it again"):
        kept.get(first)
    assert client.get(f"{AT}/{first}/image").status_code == 404


def test_a_phone_keeps_a_few_and_the_bench_not_many() -> None:
    kept = Pictures(clock=lambda: 0.0)
    mine = [kept.add(b"", "one phone") for _ in range(OF_ONE + 1)]
    with pytest.raises(NoSuchPictureError):
        kept.get(mine[0])
    assert all(kept.get(name) for name in mine[1:])
    theirs = [kept.add(b"", f"phone {k}") for k in range(OF_ALL)]
    assert all(kept.get(name) for name in theirs)
    with pytest.raises(NoSuchPictureError):
        kept.get(mine[-1])
    assert len(set(mine + theirs)) == len(mine + theirs)


@pytest.mark.parametrize(
    "wrong",
    [
        {"start": [1, 2], "ends": [], "scale": 1.0},
        {"start": [1, 2], "ends": [[1, 2]] * 41, "scale": 1.0},
        {"start": [1, 2], "ends": [[1, 1e9]], "scale": 1.0},
        {"start": [1, 2], "ends": [[1, 2]], "scale": 0.0},
        {"start": [1], "ends": [[1, 2]], "scale": 1.0},
        {"start": [1, 2], "ends": [[1, 2]], "scale": 1.0, "path": "x"},
    ],
)
def test_what_are_no_taps_is_not_read(
    client: TestClient, shot: camera.Shot, wrong: dict[str, Any]
) -> None:
    name = send(client, shot.file)
    assert (
        client.post(f"{AT}/{name}", json={"kind": "tear", "taps": {"top": [1, 2]}}).status_code
        == 400
    )
    find(client, name)
    assert client.post(f"{AT}/{name}/taps", json=wrong).status_code == 400


def test_nothing_of_a_picture_stays_in_the_folder(
    client: TestClient, shop: Path, shot: camera.Shot
) -> None:
    before = sorted(one.name for one in shop.iterdir())
    find(client, send(client, shot.file))
    assert sorted(one.name for one in shop.iterdir()) == before


@pytest.fixture
def metric(shop: Path) -> Iterator[TestClient]:
    with client_of(bench_of(shop, units="metric")) as one:
        yield one


def test_a_metric_bench_says_millimeters(metric: TestClient, shot: camera.Shot) -> None:
    name = send(metric, shot.file)
    find(metric, name)
    assert tear(metric, name)["give"] == "1 mm"
