import io
import os
import stat
import subprocess
import sys

import matplotlib as mpl
import pytest
from matplotlib.figure import Figure
from PIL import Image

from vireton.plots import SUFFIXES, check_suffix, flight_figure, save, shown_by_itself
from vireton.plots.style import PAGE_HEIGHT, PAGE_WIDTH
from vireton.units.problems import InputProblem

#: First bytes: PNG (ISO/IEC 15948:2004, 5.2), XML (W3C XML 1.0, 2.8), PDF (ISO 32000-1:2008, 7.5.2)
FIRST_BYTES = {".png": b"\x89PNG\r\n\x1a\n", ".svg": b"<?xml", ".pdf": b"%PDF-"}


@pytest.fixture
def picture(flight):
    return lambda title="Mill bow": flight_figure(
        [flight("fletched"), flight("bare", 3.0)], system="us", title=title, reference="sight"
    )


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_the_ending_decides_the_kind_of_file(tmp_path, picture, suffix):
    for name in (f"flight{suffix}", f"FLIGHT{suffix.upper()}"):
        save(picture(), tmp_path / name)
        assert (tmp_path / name).read_bytes().startswith(FIRST_BYTES[suffix])


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_the_same_picture_is_the_same_file(tmp_path, picture, suffix):
    first, second = tmp_path / f"1{suffix}", tmp_path / f"2{suffix}"
    save(picture(), first)
    with mpl.rc_context({"axes.facecolor": "black", "font.size": 20.0, "savefig.dpi": 31.0}):
        save(picture(), second)
    assert first.read_bytes() == second.read_bytes()
    save(picture("Orchard bow"), second)
    assert first.read_bytes() != second.read_bytes()


@pytest.mark.parametrize("suffix", SUFFIXES)
def test_a_file_tells_neither_the_day_nor_the_version(tmp_path, picture, suffix):
    save(picture(), tmp_path / f"f{suffix}")
    content = (tmp_path / f"f{suffix}").read_bytes()
    assert b"Vireton" in content
    assert b"CreationDate" not in content and b"dc:date" not in content
    assert mpl.__version__.encode() not in content


def test_a_png_prints_at_its_own_size(tmp_path, picture):
    save(picture(), tmp_path / "f.png")
    content = (tmp_path / "f.png").read_bytes()
    # width and height follow the IHDR chunk's name (ISO/IEC 15948:2004, 11.2.2)
    width, height = (int.from_bytes(content[i : i + 4], "big") for i in (16, 20))
    assert (width, height) == (round(PAGE_WIDTH * 200), round(PAGE_HEIGHT * 200))


@pytest.mark.parametrize("name", ["flight", "flight.jpg", "flight.png.txt", ".png"])
def test_another_ending_is_refused_with_those_that_work(tmp_path, picture, name):
    for act in (check_suffix, lambda path: save(picture(), path)):
        with pytest.raises(InputProblem, match=r"\.png, \.svg or \.pdf") as problem:
            act(tmp_path / name)
        assert name in str(problem.value)
        assert isinstance(problem.value, ValueError)
    assert list(tmp_path.iterdir()) == []


def test_the_ending_is_told_before_anything_is_drawn():
    assert check_suffix("some/where/flight.SVG") == ".svg"


def test_a_folder_that_is_not_there_is_named(tmp_path, picture):
    with pytest.raises(InputProblem, match=r"nowhere.*No such file.*a folder that exists"):
        save(picture(), tmp_path / "nowhere" / "f.png")


def test_a_folder_is_no_file_and_leaves_nothing_behind(tmp_path, picture):
    (tmp_path / "f.png").mkdir()
    with pytest.raises(InputProblem, match="cannot be written"):
        save(picture(), tmp_path / "f.png")
    assert [one.name for one in tmp_path.iterdir()] == ["f.png"]


def test_an_older_file_is_replaced_and_nothing_lies_beside_it(tmp_path, picture):
    path = tmp_path / "f.svg"
    path.write_text("old")
    save(picture(), path)
    assert path.read_bytes().startswith(b"<?xml")
    assert [one.name for one in tmp_path.iterdir()] == ["f.svg"]


def test_a_failed_write_leaves_the_older_file_whole(tmp_path, picture, monkeypatch):
    path = tmp_path / "f.svg"
    path.write_text("old")

    def full(_descriptor):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(InputProblem, match="No space left on device"):
        save(picture(), path)
    assert path.read_text() == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["f.svg"]


def test_others_may_read_the_file_as_the_umask_says(tmp_path, picture):
    before = os.umask(0o022)
    try:
        save(picture(), tmp_path / "f.png")
    finally:
        os.umask(before)
    assert stat.S_IMODE((tmp_path / "f.png").stat().st_mode) == 0o644


def test_a_link_stays_a_link(tmp_path, picture):
    (tmp_path / "real.svg").write_text("old")
    (tmp_path / "link.svg").symlink_to("real.svg")
    save(picture(), tmp_path / "link.svg")
    assert (tmp_path / "link.svg").is_symlink()
    assert (tmp_path / "real.svg").read_bytes().startswith(b"<?xml")


def test_a_figure_without_a_title_can_be_saved(tmp_path):
    save(Figure(figsize=(1.0, 1.0)), tmp_path / "f.pdf")
    assert (tmp_path / "f.pdf").stat().st_size > 0


def test_an_answers_figure_touches_no_pyplot():
    code = (
        "import sys, matplotlib as mpl, vireton\n"
        "figure = vireton.fly('examples/mill_bow.toml', '20,60 yd', draws=8).figure()\n"
        "vireton.tune('examples/mill_log.toml', distances='40 yd').figure()\n"
        "assert isinstance(figure, mpl.figure.Figure) and figure.axes\n"
        "assert 'matplotlib.pyplot' not in sys.modules\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_figure_that_shows_itself_is_a_smaller_picture_of_the_same():
    figure = shown_by_itself(Figure(figsize=(2.0, 1.0)))
    with Image.open(io.BytesIO(figure._repr_png_())) as picture:
        assert picture.size == (200, 100)
