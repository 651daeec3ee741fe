"""Films of the Mill bow's bare shaft for the bench page: marks, their table, a clip to choose."""

import base64
from pathlib import Path
from typing import Any

import numpy as np

from bench_page.webm import webm
from filmed import phone, straight
from vireton.answers.tune import Tune
from vireton.film.shaft import shaft_of
from vireton.job import read_log

PICTURE = (1920.0, 1080.0)
#: rad/s to the right, as it was pretended.
RATE = 0.9

Marks = dict[int, tuple[tuple[float, float], tuple[float, float]]]

_ENCODED = """async ([width, height, frames]) => {
  const canvas = new OffscreenCanvas(width, height);
  const draw = canvas.getContext("2d");
  const found = [];
  const encoder = new VideoEncoder({
    output: (chunk) => {
      const bytes = new Uint8Array(chunk.byteLength);
      chunk.copyTo(bytes);
      found.push(btoa(Array.from(bytes, (one) => String.fromCharCode(one)).join("")));
    },
    error: (error) => { throw error; },
  });
  encoder.configure({ codec: "vp8", width, height, bitrate: 4e6 });
  for (const [k, ends] of frames.entries()) {
    draw.fillStyle = "#d8d2c4";
    draw.fillRect(0, 0, width, height);
    if (ends) {
      const [[a, b], [c, d]] = ends;
      draw.strokeStyle = "#14222d";
      draw.lineWidth = 8;
      draw.beginPath(); draw.moveTo(a, b); draw.lineTo(c, d); draw.stroke();
      draw.fillStyle = "#d11";
      draw.beginPath(); draw.arc(a, b, 11, 0, 7); draw.fill();
      draw.fillStyle = "#11d";
      draw.beginPath(); draw.arc(c, d, 11, 0, 7); draw.fill();
    }
    const frame = new VideoFrame(canvas, { timestamp: k * 40000 });
    encoder.encode(frame, { keyFrame: true });
    frame.close();
  }
  await encoder.flush();
  return found;
}"""


def marks_of(job: Path, view: str = "above", fps: float = 240.0, first: int = 10) -> Marks:
    """Nock and point in each frame that shows both, by its number in the clip."""
    rig = Tune.read({"log": read_log(job)}).rig
    shaft, speed = shaft_of(rig.bare), rig.stroke.speed_of(rig.bare.mass)
    middle = np.array([0.5 * (shaft.front - shaft.rear), 0.0, 0.0])
    arms = np.array([-shaft.rear, shaft.front])
    moments = (np.arange(-8, 8) + 0.5) / fps
    flown = straight(speed, (0.0, 0.0), (RATE, 0.0) if view == "above" else (0.0, RATE))
    film = phone(view, middle, 2.2, picture=PICTURE).film(flown, arms, moments)
    return {
        first + k: (tuple(map(float, ends[0])), tuple(map(float, ends[1])))  # type: ignore[misc]
        for k, (_, ends) in enumerate(film)
    }


def table_of(marks: Marks, fps: float = 240.0) -> str:
    """As the page writes it."""
    rows = [", ".join(f"{one:.1f}" for one in (*nock, *point)) for nock, point in marks.values()]
    lines = [f"{number}, {row}" for number, row in zip(marks, rows, strict=True)]
    return "\n".join([f"fps: {fps:g}", "picture: 1920 x 1080", *lines])


def clip_of(page: Any, marks: Marks, count: int = 20) -> bytes:
    """A clip with the arrow drawn in, encoded by the browser of ``page``."""
    width, height = map(int, PICTURE)
    frames = page.evaluate(_ENCODED, [width, height, [marks.get(k) for k in range(count)]])
    return webm([base64.b64decode(one) for one in frames], width, height)
