"""``vireton animate``."""

import json
import shutil
import time

import numpy as np
import pytest
from PIL import Image


def test_a_film_with_its_frames_in_little_time_and_room(vireton, setup_file, tmp_path):
    file = tmp_path / "flight.gif"
    vireton("animate", setup_file, "-o", file, "--frames", "2")  # compiles, once
    # not the clock on the wall: other work on the machine is not ours
    began = time.process_time()
    done = vireton("animate", setup_file, "-o", file, "--yaw-rate", "0.5 rad/s", "--json")
    assert done.code == 0, done.err
    assert time.process_time() - began < 20.0
    answer = json.loads(done.out)
    assert answer["schema"] == 1
    assert answer["frames"] == 120
    assert answer["size_bytes"] == file.stat().st_size < 3e6
    assert answer["arrows"] == ["fletched", "bare shaft"]
    # 20 yd at some 280 fps take 0.21 s
    assert answer["slower"] == pytest.approx(40.0, rel=0.05)
    assert answer["delay_s"] * 119 / answer["slower"] == pytest.approx(0.21, abs=0.01)
    with Image.open(file) as film:
        assert film.n_frames == 120
        first = np.asarray(film.convert("RGB"))
        film.seek(119)
        assert (first != np.asarray(film.convert("RGB"))).any()
    assert [one.name for one in tmp_path.glob("flight*")] == ["flight.gif"]


def test_words_for_people(vireton, setup_file, tmp_path):
    short = ("--frames", "3", "--distance", "10 yd")
    done = vireton("animate", setup_file, "-o", tmp_path / "f.gif", *short)
    assert done.code == 0, done.err
    for words in ("wrote", "3 pictures", "times slower", "too large", "backstop"):
        assert words in done.out


@pytest.mark.parametrize(
    ("options", "shown"),
    [
        ((), "rest where it is"),
        (("--up", "1/32in"), "rest up 1/32 in"),
        (("--yaw-rate", "-0.5 rad/s"), "nose turning left at 0.5 rad/s"),
    ],
)
def test_the_title_names_what_is_shown(vireton, setup_file, tmp_path, monkeypatch, options, shown):
    from matplotlib.figure import Figure

    titles = []
    drawn = Figure.suptitle
    monkeypatch.setattr(
        Figure, "suptitle", lambda self, t, **kw: (titles.append(t), drawn(self, t, **kw))[1]
    )
    short = ("--frames", "2", "--distance", "10 yd", "--json")
    done = vireton("animate", setup_file, "-o", tmp_path / "f.gif", *short, *options)
    assert done.code == 0, done.err
    assert json.loads(done.out)["title"].endswith(f": {shown}")
    assert titles[-1].replace("\n", " ") == json.loads(done.out)["title"]


def test_the_same_command_gives_the_same_film(vireton, setup_file, tmp_path):
    for name in ("1.gif", "2.gif"):
        vireton("animate", setup_file, "-o", tmp_path / name, "--frames", "4", "--up", "1/32in")
    assert (tmp_path / "1.gif").read_bytes() == (tmp_path / "2.gif").read_bytes()


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("-o", "f.png"), ".gif or .mp4"),
        (("-o", "f.gif", "--distance", "1 yd"), "--distance"),
        (("-o", "f.gif", "--right", "2 in"), "--right"),
        (("-o", "f.gif", "--left", "1/32 in", "--right", "1/32 in"), "give one of them"),
        (("-o", "f.gif", "--down", "2 clickz"), "--down"),
        (("-o", "f.gif", "--frames", "1"), "frames"),
        (("-o", "f.gif", "--slower", "0.5"), "slower"),
    ],
)
def test_bad_input(vireton, setup_file, tmp_path, monkeypatch, options, words):
    monkeypatch.chdir(tmp_path)
    done = vireton("animate", setup_file, *options)
    assert done.code == 2
    assert words in done.err
    assert not (tmp_path / "f.gif").exists()


def test_no_ffmpeg_no_mp4(vireton, setup_file, tmp_path, monkeypatch):
    monkeypatch.setattr(shutil, "which", lambda _: None)
    done = vireton("animate", setup_file, "-o", tmp_path / "f.mp4")
    assert done.code == 2
    assert "ffmpeg" in done.err
