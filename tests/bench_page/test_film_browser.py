"""A film in a real browser: by touch, from a rendered clip to the recorded round."""

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from bench_page.conftest import EXAMPLES, Make
from bench_page.filming import Marks, clip_of, marks_of
from bench_page.served import DESK, PHONE, TABLET, Phone, Served, pictures_in
from vireton.job import read_log
from vireton.tuning.observations import Film

pytest.importorskip("playwright")
FIRST = 10
#: Pixels of the picture that a tap may be off, where one is one of the screen's.
NEAR = 1.5

#: Where a place of the frame is on the screen.
_ON_SCREEN = """([x, y]) => {
  const view = document.querySelector('.film-pane .photo');
  const at = new DOMPoint(x, y).matrixTransform(view.getScreenCTM());
  return [at.x, at.y];
}"""


@pytest.fixture(scope="module")
def marks(bench: Served) -> Marks:
    shutil.copy(EXAMPLES / "mill_log.toml", bench.folder)
    return marks_of(bench.folder / "mill_log.toml", first=FIRST)


@pytest.fixture(scope="module")
def clip(
    browser: Any, bench: Served, marks: Marks, tmp_path_factory: pytest.TempPathFactory
) -> Path:
    page = browser.new_page()
    page.goto(bench.url)  # a page of this computer may encode
    path = tmp_path_factory.mktemp("clips") / "clip.webm"
    path.write_bytes(clip_of(page, marks))
    page.close()
    return path


def choose(one: Phone, clip: Path) -> None:
    one.page.locator(".film-pane input[type=file]:not([capture])").set_input_files(clip)
    says(one, "Frame ")


def says(one: Phone, words: str) -> None:
    one.page.locator(".film-pane .readout").get_by_text(words).first.wait_for()


def tap(one: Phone, place: tuple[float, float], times: int = 1) -> None:
    for _ in range(times):
        one.page.touchscreen.tap(*one.page.evaluate(_ON_SCREEN, list(place)))


def press(one: Phone, words: str) -> None:
    one.page.locator(".film-pane").get_by_role("button", name=words, exact=True).tap()


def wind(one: Phone, number: int) -> None:
    one.page.locator(".frames input").fill(str(number))
    says(one, f"Frame {number}.")


def mark(one: Phone, marks: Marks, count: int) -> None:
    """The first frame by taps, the others carried on and put right by taps."""
    wind(one, FIRST)
    tap(one, marks[FIRST][0], 2)  # the first tap comes near
    press(one, "Next: the point")
    tap(one, marks[FIRST][1], 2)
    says(one, "1 frame marked")
    for number in range(FIRST + 1, FIRST + count):
        press(one, "Next frame")
        says(one, f"Frame {number}.")
        says(one, "Is the nock there?")
        tap(one, marks[number][0])
        press(one, "Next: the point")
        tap(one, marks[number][1])
    says(one, f"{count} frames marked")


def read(one: Phone) -> str:
    press(one, "Read it")
    said = one.page.locator(".film-pane .says")
    said.wait_for()
    return str(said.inner_text())


def recorded(path: Path) -> Film:
    (film,) = read_log(path).rounds.counting[-1].seen(Film)
    return film


def test_a_film_is_marked_read_and_recorded(
    phone: Make, mill: Path, clip: Path, marks: Marks
) -> None:
    one = phone().open(mill.stem)
    one.tap("More")
    one.page.get_by_role("link", name="Film").tap()
    one.wait("240 frames a second, shutter 1/2000 s")
    choose(one, clip)
    mark(one, marks, 5)
    assert one.page.locator(".send .first").is_disabled()  # not before it was read
    said = read(one)
    assert "the nose turns right at" in said
    assert "give or take" in said
    one.record()
    one.wait("Recorded as round 5")
    one.wait("Bare arrow filmed from above: the nose turns right")
    film = recorded(mill)
    assert film.clip.picture == (1920.0, 1080.0)
    assert [each.number for each in film.clip.frames] == list(range(FIRST, FIRST + 5))
    for each in film.clip.frames:
        assert each.nock == pytest.approx(marks[each.number][0], abs=NEAR)
        assert each.point == pytest.approx(marks[each.number][1], abs=NEAR)
    assert one.wrong == []


def test_a_mark_is_dragged_under_the_lens_and_taken_away(
    phone: Make, mill: Path, clip: Path, marks: Marks
) -> None:
    one = phone().open(mill.stem, "film")
    choose(one, clip)
    mark(one, marks, 2)
    x, y = one.page.evaluate(_ON_SCREEN, list(marks[FIRST + 1][1]))
    lens = one.page.locator(".film-pane .lens")
    one.page.mouse.move(x, y + 10)  # beside the mark: the finger does not hide it
    one.page.mouse.down()
    one.page.mouse.move(x - 20, y + 20, steps=4)
    assert lens.is_visible()
    one.page.mouse.move(x - 30, y + 30, steps=4)
    one.page.mouse.up()
    assert not lens.is_visible()
    press(one, "a little right")
    table = one.page.evaluate("Object.entries(localStorage).find(([k]) => k.endsWith(' film'))[1]")
    kept = json.loads(table)["frames"][str(FIRST + 1)][1]
    there = marks[FIRST + 1][1]
    assert kept == pytest.approx([there[0] - 29, there[1] + 20], abs=3.0)
    press(one, "Take away")
    says(one, "1 frame marked")
    says(one, "Is the nock there?")  # carried on from the other
    one.page.get_by_role("radio", name="3 Reading").tap()
    one.wait("1 frame marked, 2 are needed.")
    assert one.page.locator(".send .first").is_disabled()


def test_marks_outlive_the_page_and_guesses_count_for_nothing(
    phone: Make, mill: Path, clip: Path, marks: Marks
) -> None:
    one = phone().open(mill.stem, "film")
    choose(one, clip)
    mark(one, marks, 3)
    press(one, "Next frame")
    says(one, f"Frame {FIRST + 3}. 3 frames marked")
    one.page.reload()
    one.wait("3 frames marked. Choose the same clip again to mark more.")
    choose(one, clip)
    says(one, f"Frame {FIRST + 2}. 3 frames marked")
    press(one, "Next: the point")
    press(one, "Next frame")
    says(one, "Is the nock there?")
    press(one, "The nock is there")
    says(one, "Is the point there?")
    says(one, "3 frames marked")
    press(one, "The point is there")
    says(one, f"Frame {FIRST + 4}. 4 frames marked")
    read(one)
    one.record()
    one.wait("Recorded as round 5")
    (carried,) = (each for each in recorded(mill).clip.frames if each.number == FIRST + 3)
    assert carried.nock == pytest.approx(marks[FIRST + 3][0], abs=4.0)


def test_a_rate_that_cannot_be_is_said_before_it_is_recorded(
    phone: Make, mill: Path, clip: Path, marks: Marks
) -> None:
    one = phone().open(mill.stem, "film")
    choose(one, clip)
    mark(one, marks, 2)
    one.pick("1 Clip")
    one.pick("120")
    one.pick("3 Reading")
    one.wait("about 240 a second would fit")
    assert one.page.locator(".send .first").is_disabled()
    one.pick("1 Clip")
    one.pick("240")
    one.pick("3 Reading")
    one.wait("2 frames tell turning from bending badly")
    one.record()
    one.wait("Recorded as round 5")


def test_it_is_corrected_from_the_history(
    phone: Make, mill: Path, clip: Path, marks: Marks
) -> None:
    one = phone().open(mill.stem, "film")
    choose(one, clip)
    mark(one, marks, 3)
    read(one)
    one.record()
    one.wait("Recorded as round 5")
    one.tap("History")
    one.wait("Bare arrow filmed from above: 3 frames at 240 a second")
    one.page.get_by_role("button", name="Correct a typing mistake").first.tap()
    one.tap("Correct the bare arrow's film from above")
    one.wait("Film, round 5")
    one.pick("1 Clip")
    one.page.get_by_label("Shutter").select_option("1/1000 s")
    one.page.locator(".film-pane input[type=file]:not([capture])").set_input_files(clip)
    one.wait("Is it the same clip?")
    one.tap("The same: go on")
    says(one, f"Frame {FIRST + 2}. 3 frames marked")
    one.pick("3 Reading")
    one.page.locator(".film-pane .says").wait_for()
    one.record("Correct round 5")
    one.wait("Round 5 is corrected")
    assert recorded(mill).clip.exposure == 1 / 1000
    assert len(recorded(mill).clip.frames) == 3


def test_the_advice_that_asks_for_a_film_leads_to_it(phone: Make, mill: Path) -> None:
    one = phone()

    def asked(route: Any) -> None:
        told = route.fetch().json()
        told["advice"] |= {"verdict": "shoot", "test": {"kind": "film beside", "count": 2}}
        route.fulfill(json=told)

    one.page.route("**/advice", asked)
    one.open(mill.stem)
    one.tap("Mark the film")
    one.wait("240 frames a second, shutter 1/2000 s")
    assert one.page.get_by_role("radio", name="From beside").is_checked()


def test_a_file_that_is_no_film_is_told(phone: Make, mill: Path, tmp_path: Path) -> None:
    one = phone().open(mill.stem, "film")
    path = tmp_path / "clip.mp4"
    path.write_bytes(b"no film at all")
    one.page.locator(".film-pane input[type=file]:not([capture])").set_input_files(path)
    one.wait("This browser does not show this clip")


def test_it_waits_where_the_bench_does_not_answer(
    phone: Make, mill: Path, clip: Path, marks: Marks
) -> None:
    one = phone().open(mill.stem, "film")
    choose(one, clip)
    mark(one, marks, 3)
    one.context.set_offline(True)
    press(one, "Read it")
    one.wait("The bench does not answer.")
    one.record()
    one.wait("1 waiting")
    one.context.set_offline(False)
    one.wait("Recorded as round 5")
    assert len(recorded(mill).clip.frames) == 3


@pytest.mark.parametrize(
    ("size", "light"), [(PHONE, "light"), (PHONE, "dark"), (TABLET, "light"), (DESK, "light")]
)
def test_every_screen_can_be_read_and_tapped(
    phone: Make,
    mill: Path,
    clip: Path,
    marks: Marks,
    axe: str,
    tmp_path: Path,
    size: tuple[int, int],
    light: str,
) -> None:
    one = phone(size=size, color_scheme=light)
    folder = pictures_in(tmp_path)
    found: list[str] = []

    def check(screen: str) -> None:
        one.check_fits(screen, folder / f"{size[0]}_{light}_film_{screen}.png")
        found.extend(one.barriers(screen, axe))

    one.open(mill.stem, "film")
    check("clip")
    choose(one, clip)
    check("whole")
    wind(one, FIRST)
    check("found")
    mark(one, marks, 3)
    check("marks")
    press(one, "Next frame")
    says(one, "Is the nock there?")
    check("guess")
    read(one)
    check("reading")
    one.record()
    one.wait("Recorded as round 5")
    one.wait("Bare arrow filmed from above")
    check("home")
    assert found == []
