"""Frames to a film: GIF anywhere, MP4 where ffmpeg is installed."""

import io
import os
import shutil
import subprocess
import tempfile
from collections.abc import Iterable, Iterator
from itertools import chain
from pathlib import Path

import numpy as np
from PIL import Image

from vireton.plots.film import Frame
from vireton.plots.saving import check_suffix, write_whole
from vireton.units.problems import InputProblem

FILM_SUFFIXES = (".gif", ".mp4")

#: The last picture stands still so long, s, before a GIF begins again (our choice).
LAST_FRAME = 1.5

_COLORS = 48  # of a GIF: few strokes and their soft edges
_GIF_TICK = 0.01  # s; a GIF counts its delays in hundredths (GIF89a, from memory)
#: Many viewers slow a film down that asks for less than this (common practice, no source).
SHORTEST_DELAY = 0.02


def check_film(path: str | os.PathLike[str]) -> str:
    """The kind of film, ``".gif"`` or ``".mp4"``, that ``path`` asks for.

    Raises InputProblem, a ValueError, for another ending and where an MP4 cannot be made here.
    """
    suffix = check_suffix(path, FILM_SUFFIXES)
    if suffix == ".mp4" and shutil.which("ffmpeg") is None:
        raise InputProblem(
            "an .mp4 needs the program ffmpeg, which is not found here; install it, or give the "
            "film a name that ends in .gif"
        )
    return suffix


def delay_of(wanted: float) -> float:
    """The delay between frames, s, that both kinds of film can keep: whole hundredths, ≥ 0.02."""
    return max(SHORTEST_DELAY, round(wanted / _GIF_TICK) * _GIF_TICK)


def save_film(frames: Iterable[Frame], delay: float, path: str | os.PathLike[str]) -> int:
    """Write frames (h, w, 3), ``delay`` s apart, to a GIF or MP4; returns the file's size, bytes.

    The file appears whole or not at all, an older one is replaced, and the same frames give the
    same GIF. Raises InputProblem, a ValueError, as :func:`check_film` and where the file cannot be
    written.
    """
    content = (_gif if check_film(path) == ".gif" else _mp4)(frames, delay)
    write_whole(path, content)
    return len(content)


def _gif(frames: Iterable[Frame], delay: float) -> bytes:
    flat: list[Image.Image] = []
    palette: Image.Image | None = None
    for frame in frames:
        picture = Image.fromarray(frame)
        # one palette for all: nothing flickers, and only changes are stored
        palette = palette or picture.quantize(_COLORS, Image.Quantize.MAXCOVERAGE)
        flat.append(picture.quantize(palette=palette, dither=Image.Dither.NONE))
    delays = [round(delay * 1000.0)] * (len(flat) - 1) + [round(LAST_FRAME * 1000.0)]
    buffer = io.BytesIO()
    flat[0].save(
        buffer, format="GIF", save_all=True, append_images=flat[1:], duration=delays, loop=0
    )
    return buffer.getvalue()


def _mp4(frames: Iterable[Frame], delay: float) -> bytes:
    rest = iter(frames)
    first = next(rest)
    height, width = first.shape[:2]
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder) / "film.mp4"
        command = [
            *("ffmpeg", "-loglevel", "error", "-f", "rawvideo", "-pix_fmt", "rgb24"),
            *("-s", f"{width}x{height}", "-r", f"{1.0 / delay:.6f}", "-i", "-"),
            # a form that every player reads
            *("-pix_fmt", "yuv420p", "-movflags", "+faststart", "-bitexact", str(made)),
        ]
        still = round(LAST_FRAME / delay)
        with (Path(folder) / "said").open("w+b") as said:
            with subprocess.Popen(command, stdin=subprocess.PIPE, stderr=said) as made_by:
                assert made_by.stdin is not None
                try:
                    for frame in _and_stand_still(chain([first], rest), still):
                        made_by.stdin.write(np.ascontiguousarray(frame).tobytes())
                except BrokenPipeError:
                    pass  # it has given up; why, it says itself
            said.seek(0)
            lines = said.read().decode(errors="replace").strip().splitlines()
        if made_by.returncode != 0 or not made.exists():
            raise InputProblem(
                f"ffmpeg could not make the film: {lines[-1] if lines else 'it does not say why'}; "
                "give the film a name that ends in .gif"
            )
        return made.read_bytes()


def _and_stand_still(frames: Iterable[Frame], times: int) -> Iterator[Frame]:
    for last in frames:
        yield last
    for _ in range(times):
        yield last
