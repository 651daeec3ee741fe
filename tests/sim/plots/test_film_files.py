"""Films on disk: whole or not at all, every frame in it, the delay as asked."""

import shutil

import numpy as np
import pytest
from PIL import Image

from vireton.plots.film_files import LAST_FRAME, check_film, delay_of, save_film
from vireton.units.problems import InputProblem


@pytest.fixture
def frames():
    """A black square (32 by 32) that wanders over white."""
    made = []
    for i in range(7):
        one = np.full((60, 96, 3), 255, dtype=np.uint8)
        one[10:42, 4 * i : 4 * i + 32] = 0
        made.append(one)
    return made


def test_a_gif_holds_every_frame_with_its_delay(tmp_path, frames):
    path = tmp_path / "f.gif"
    assert save_film(iter(frames), 0.07, path) == path.stat().st_size
    with Image.open(path) as film:
        assert film.n_frames == 7
        assert film.info["loop"] == 0
        delays = []
        for i in range(7):
            film.seek(i)
            delays.append(film.info["duration"])
            shown = np.asarray(film.convert("RGB"))
            assert np.abs(shown.astype(int) - frames[i]).max() < 8
    assert delays == [70] * 6 + [LAST_FRAME * 1000]


def test_the_same_frames_give_the_same_file(tmp_path, frames):
    for name in ("1.gif", "2.gif"):
        save_film(frames, 0.05, tmp_path / name)
    assert (tmp_path / "1.gif").read_bytes() == (tmp_path / "2.gif").read_bytes()


@pytest.mark.skipif(shutil.which("ffmpeg") is None, reason="needs ffmpeg")
def test_an_mp4_is_made_where_ffmpeg_is(tmp_path, frames):
    path = tmp_path / "f.mp4"
    save_film(iter(frames), 0.05, path)
    # a file type box begins an MP4 (ISO/IEC 14496-12:2015, 4.3)
    assert path.read_bytes()[4:8] == b"ftyp"
    assert [one.name for one in tmp_path.iterdir()] == ["f.mp4"]


@pytest.mark.skipif(shutil.which("false") is None, reason="needs a program that fails")
def test_an_ffmpeg_that_fails_is_told_and_leaves_nothing(tmp_path, frames, monkeypatch):
    programs = tmp_path / "programs"
    programs.mkdir()
    (programs / "ffmpeg").symlink_to(shutil.which("false"))
    monkeypatch.setenv("PATH", str(programs))
    with pytest.raises(InputProblem, match=r"could not make the film"):
        save_film([*frames] * 20, 0.05, tmp_path / "f.mp4")
    assert not (tmp_path / "f.mp4").exists()


def test_without_ffmpeg_an_mp4_is_refused_before_any_work(monkeypatch):
    monkeypatch.setattr(shutil, "which", lambda _: None)
    with pytest.raises(InputProblem, match=r"ffmpeg.*\.gif"):
        check_film("f.mp4")


@pytest.mark.parametrize("name", ["f.avi", "f", "f.png"])
def test_another_ending_is_refused_with_those_that_work(name):
    with pytest.raises(InputProblem, match=r"\.gif or \.mp4"):
        check_film(name)


def test_a_film_that_fails_leaves_the_older_one_whole(tmp_path, frames):
    path = tmp_path / "f.gif"
    path.write_text("old")

    def broken():
        yield frames[0]
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        save_film(broken(), 0.05, path)
    assert path.read_text() == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["f.gif"]


@pytest.mark.parametrize(("wanted", "kept"), [(0.071, 0.07), (0.001, 0.02), (1.236, 1.24)])
def test_delays_are_whole_hundredths(wanted, kept):
    assert delay_of(wanted) == pytest.approx(kept)
