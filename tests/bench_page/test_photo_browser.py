"""A photo in a real browser: by touch, from a pretended picture to the recorded round."""

from pathlib import Path
from typing import Any

import numpy as np
import pytest

import camera
from bench_page.conftest import Make
from bench_page.served import DESK, PHONE, TABLET, Phone, pictures_in
from bench_page.test_photo import covered
from vireton.job import read_log
from vireton.paper import CORNERS, MARKS, PAPERS
from vireton.photo import PIXELS_PER_INCH
from vireton.plots import group_middle
from vireton.units.numbers import INCH

pytest.importorskip("playwright")
HIGH = PAPERS["letter"][1]
POINT = (3.6, 5.2)
TAIL = (3.6 - 3 / 16, 5.2 + 3 / 8)
NEAR = 1 / 32
#: ms; a picture takes seconds, and more on a busy machine.
PATIENCE = 90_000

#: Where a place of the picture is on the screen.
_ON_SCREEN = """([x, y]) => {
  const view = document.querySelector('#photo .photo');
  const at = new DOMPoint(x, y).matrixTransform(view.getScreenCTM());
  return [at.x, at.y];
}"""


def picture(folder: Path, name: str, holes: list[tuple[float, float]], **how: Any) -> camera.Shot:
    """A hand-held picture of 12 megapixels, and its file."""
    rng = np.random.default_rng((12, len(name)))
    shot = camera.shoot(rng, np.array(holes), fill=(0.7, 0.85), **how)
    (folder / f"{name}.jpg").write_bytes(shot.file)
    return shot


@pytest.fixture
def patience() -> int:
    return PATIENCE


@pytest.fixture(scope="module")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pictures")
    picture(folder, "tear", [POINT, TAIL])
    x, y = group_middle("letter", "us")
    picture(folder, "group", [(x + 1.25, y + 0.5), (x - 0.75, y - 1.0)], kind="group")
    return folder


@pytest.fixture(scope="module")
def bare(pictures: Path) -> camera.Shot:
    """A sheet whose marks are covered, as ``bare.jpg``."""
    return picture(pictures, "bare", [POINT, TAIL], spoil=covered(*CORNERS))


def choose(one: Phone, file: Any) -> None:
    """From a photo, and this file, as the camera would give it."""
    one.tap("From a photo")
    one.page.locator("#photo input[capture=environment]").set_input_files(file)


def looking(one: Phone) -> None:
    one.page.wait_for_selector("#photo.looking .photo")


def tap(one: Phone, place: tuple[float, float], times: int = 2) -> None:
    """Tap a place of the picture: the first tap comes near, the second puts the mark."""
    for _ in range(times):
        one.page.touchscreen.tap(*one.page.evaluate(_ON_SCREEN, list(place)))


def whole(one: Phone) -> None:
    one.tap("All: the whole picture")


def on_image(place: tuple[float, float]) -> tuple[float, float]:
    return place[0] * PIXELS_PER_INCH, (HIGH - place[1]) * PIXELS_PER_INCH


def said(one: Phone, words: str) -> None:
    one.page.locator("#photo .readout").get_by_text(words).first.wait_for()


def last(path: Path) -> Any:
    return read_log(path).rounds.all[-1]


def test_a_tear_from_a_photo_is_recorded(phone: Make, mill: Path, pictures: Path) -> None:
    one = phone().open(mill.stem)
    one.wait("6 in 10 that it helps")
    one.tap("Paper tear")
    choose(one, pictures / "tear.jpg")
    looking(one)
    tap(one, on_image(POINT))
    one.tap("Next: the tail")
    tap(one, on_image(TAIL), 1)  # it is in sight already
    said(one, "give or take 1/32")
    assert one.page.locator("#photo .readout").inner_text().startswith("High")
    one.tap("Use it")
    assert one.readout == "High 3/8 in, left 3/16 in"
    assert one.page.locator("#photo").count() == 0
    one.record()
    one.wait("The arrows before say otherwise")  # as of any tear
    one.tap("Bare tear at 6 ft: tail left 3/16 in, high 3/8 in")
    one.wait("Recorded as round 5")
    tear = last(mill).observations[0]
    assert tear.right == pytest.approx(-3 / 16 * INCH, abs=NEAR * INCH)
    assert tear.up == pytest.approx(3 / 8 * INCH, abs=NEAR * INCH)
    assert one.wrong == []


def test_a_hole_is_put_right_by_dragging_and_nudging(
    phone: Make, mill: Path, pictures: Path
) -> None:
    one = phone().open(mill.stem, "tear")
    choose(one, pictures / "tear.jpg")
    looking(one)
    tap(one, on_image(POINT))
    one.tap("Next: the tail")
    tap(one, on_image((TAIL[0], TAIL[1] + 0.25)), 1)
    said(one, "High 5/8")
    x, y = one.page.evaluate(_ON_SCREEN, list(on_image((TAIL[0], TAIL[1] + 0.25))))
    lens = one.page.locator("#photo .lens")
    one.page.mouse.move(x, y + 10)  # beside the mark: the finger does not hide it
    one.page.mouse.down()
    one.page.mouse.move(x, y + 60 - 40, steps=4)
    assert lens.is_visible()
    one.page.mouse.move(x, y + 60, steps=4)
    one.page.mouse.up()
    assert not lens.is_visible()
    said(one, "High 3/8")
    for _ in range(13):
        one.page.locator("#photo").get_by_role("button", name="a little right").tap()
    said(one, "left 1/8")
    one.tap("Use it")
    assert one.readout == "High 3/8 in, left 1/8 in"


def test_shots_from_a_photo_are_recorded(phone: Make, mill: Path, pictures: Path) -> None:
    one = phone().open(mill.stem, "shots")
    choose(one, pictures / "group.jpg")
    looking(one)
    one.tap("Middle of the group face")
    said(one, "Where you aimed")
    one.tap("Next: the holes")
    whole(one)
    x, y = group_middle("letter", "us")
    tap(one, on_image((x + 1.25, y + 0.5)))
    one.page.locator("#photo").get_by_role("radio", name="Bare").tap()
    whole(one)
    tap(one, on_image((x - 0.75, y - 1.0)))
    said(one, "1 fletched, 1 bare")
    said(one, "left 0.75 in, low 1 in")
    one.tap("Use them")
    assert "1 fletched, 1 bare" in one.readout
    one.record()
    one.wait("Recorded as round 5")
    groups = {each.arrow: each.shots[0] for each in last(mill).observations}
    assert groups["fletched"] == pytest.approx((1.25 * INCH, 0.5 * INCH), abs=NEAR * INCH)
    assert groups["bare"] == pytest.approx((-0.75 * INCH, -1.0 * INCH), abs=NEAR * INCH)


def test_marks_that_are_not_found_are_tapped(
    phone: Make, mill: Path, pictures: Path, bare: camera.Shot
) -> None:
    one = phone().open(mill.stem, "tear")
    choose(one, pictures / "bare.jpg")
    one.page.wait_for_selector("#photo .taken")
    one.wait("black squares")
    one.tap("Tap the four marks")
    looking(one)
    wide = one.page.locator("#photo .photo image").get_attribute("width")
    shrink = bare.size[0] / float(wide)
    middles = (bare.pixels(np.array([MARKS["letter"][c] for c in CORNERS])) + 0.5) / shrink
    # two of them at the other's corner first: the bench says so and nothing is lost
    for turn, order in enumerate(([1, 0, 2, 3], [0, 1, 2, 3])):
        for step, corner in enumerate(order):
            said(one, f"{step + 1} of 4: {CORNERS[step]}")
            tap(one, tuple(middles[corner]))
            one.tap("Next mark" if step < 3 else "Straighten it")
        if turn == 0:
            one.wait("each at its own corner")
            one.tap("Tap the four marks")
    one.page.get_by_role("radio", name="Point's hole").wait_for()
    tap(one, on_image(POINT))
    one.tap("Next: the tail")
    tap(one, on_image(TAIL), 1)
    said(one, "High 3/8 in, left 3/16 in")
    one.tap("Use it")
    assert one.readout == "High 3/8 in, left 3/16 in"
    assert one.wrong == []


def test_while_the_bench_is_away_the_taps_stay(phone: Make, mill: Path, pictures: Path) -> None:
    one = phone().open(mill.stem, "tear")
    one.context.route("**/api/pictures", lambda route: route.abort())
    choose(one, pictures / "tear.jpg")
    one.wait("The picture is still here")
    one.context.unroute("**/api/pictures")
    one.tap("Try again")
    looking(one)
    one.context.route("**/taps", lambda route: route.abort())
    tap(one, on_image(POINT))
    one.tap("Next: the tail")
    tap(one, on_image(TAIL), 1)
    said(one, "The bench does not answer")
    assert one.page.locator("#photo .send .first").is_disabled()
    one.context.unroute("**/taps")
    said(one, "High 3/8 in, left 3/16 in")


def test_a_picture_that_was_let_go_says_so(phone: Make, mill: Path, pictures: Path) -> None:
    one = phone().open(mill.stem, "tear")
    choose(one, pictures / "tear.jpg")
    looking(one)
    gone = {"problem": "The bench has let go of this picture. Take it again."}
    one.context.route("**/taps", lambda route: route.fulfill(status=404, json=gone))
    tap(one, on_image(POINT))
    one.tap("Next: the tail")
    tap(one, on_image(TAIL), 1)
    one.wait("Take it again.")
    assert one.page.locator("#photo input[capture=environment]").count() == 1


def test_what_is_no_picture_is_told_at_once(phone: Make, mill: Path) -> None:
    one = phone().open(mill.stem, "tear")
    choose(one, {"name": "a.heic", "mimeType": "image/heic", "buffer": b"x"})
    one.wait("no JPEG or PNG picture")
    large = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"x" * 20_000_001}
    one.page.locator("#photo input[capture=environment]").set_input_files(large)
    one.wait("at most 20 MB are read")
    broken = {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"x"}
    one.page.locator("#photo input[capture=environment]").set_input_files(broken)
    one.wait("cannot be read as a JPEG")


def test_leaving_the_photo_leaves_the_sheet_as_it_was(
    phone: Make, mill: Path, pictures: Path
) -> None:
    one = phone().open(mill.stem, "tear")
    one.tap_board(8, 8)
    choose(one, pictures / "tear.jpg")
    one.page.locator("#photo").get_by_role("button", name="Not now").tap()  # while it is sent
    assert one.page.locator("#photo").count() == 0
    assert one.readout == "High 1/16 in, right 1/16 in"
    one.tap("From a photo")
    one.page.go_back()  # the phone's own way back
    one.page.locator("#photo").wait_for(state="detached")
    one.open(mill.stem, "tear")
    assert one.readout == "High 1/16 in, right 1/16 in"
    assert one.wrong == []


def test_two_fingers_come_nearer_and_one_moves_the_picture(
    phone: Make, mill: Path, pictures: Path
) -> None:
    one = phone().open(mill.stem, "tear")
    choose(one, pictures / "tear.jpg")
    looking(one)
    touch = one.context.new_cdp_session(one.page)
    box = one.page.locator("#photo .photo").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2

    def fingers(kind: str, *at: tuple[float, float]) -> None:
        points = [{"x": a, "y": b, "id": k} for k, (a, b) in enumerate(at)]
        touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    def seen() -> list[float]:
        view = one.page.locator("#photo .photo").get_attribute("viewBox")
        return [float(word) for word in view.split()]

    before = seen()
    fingers("touchStart", (x - 30, y))
    fingers("touchStart", (x - 30, y), (x + 30, y))
    for k in range(1, 7):
        fingers("touchMove", (x - 30 - 10 * k, y), (x + 30 + 10 * k, y))
    fingers("touchEnd")
    pinched = seen()
    assert pinched[2] == pytest.approx(before[2] / 3.0, rel=0.1)
    fingers("touchStart", (x, y))
    for k in range(1, 6):
        fingers("touchMove", (x + 20 * k, y))
    fingers("touchEnd")
    moved = seen()
    assert moved[0] < pinched[0]
    assert moved[2] == pytest.approx(pinched[2])
    assert one.page.locator("#photo .put").count() == 0  # no mark was put by it


def test_by_keyboard_alone(phone: Make, mill: Path, pictures: Path) -> None:
    one = phone(size=DESK).open(mill.stem, "tear")
    choose(one, pictures / "tear.jpg")
    looking(one)
    one.page.locator("#photo .photo").focus()
    one.page.keyboard.press("Enter")  # near
    one.page.keyboard.press("Enter")  # put
    one.tap("Next: the tail")
    one.page.locator("#photo .photo").focus()
    one.page.keyboard.press("Enter")
    for _ in range(25):
        one.page.keyboard.press("ArrowUp")
    said(one, "High 1/8 in")


@pytest.mark.parametrize("size", [PHONE, TABLET, DESK], ids=["phone", "tablet", "desk"])
@pytest.mark.parametrize("light", ["light", "dark"])
def test_every_screen_fits_and_is_read_aloud(
    phone: Make,
    mill: Path,
    pictures: Path,
    bare: camera.Shot,
    axe: str,
    tmp_path: Path,
    size: tuple[int, int],
    light: str,
) -> None:
    one = phone(size=size, color_scheme=light)
    folder = pictures_in(tmp_path)
    found: list[str] = []

    def check(screen: str) -> None:
        one.check_fits(screen, folder / f"{size[0]}_{light}_photo_{screen}.png")
        send_ = one.page.locator("#photo .send").bounding_box()
        assert send_["y"] + send_["height"] <= size[1] + 1, screen
        found.extend(one.barriers(screen, axe, "'#photo'"))

    one.open(mill.stem, "tear")
    one.tap("From a photo")
    check("how")
    one.page.locator("#photo input[capture=environment]").set_input_files(pictures / "tear.jpg")
    check("busy")
    looking(one)
    check("tear")
    tap(one, on_image(POINT))
    one.tap("Next: the tail")
    tap(one, on_image(TAIL), 1)
    said(one, "give or take")
    check("read")
    one.open(mill.stem, "shots")
    choose(one, pictures / "group.jpg")
    looking(one)
    one.tap("Middle of the group face")
    check("aim")
    one.tap("Next: the holes")
    check("holes")
    one.open(mill.stem, "tear")
    choose(one, pictures / "bare.jpg")
    one.page.wait_for_selector("#photo .taken")
    check("failed")
    one.tap("Tap the four marks")
    looking(one)
    check("corners")
    assert found == []
    assert one.wrong == []
