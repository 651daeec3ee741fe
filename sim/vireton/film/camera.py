"""Where nock and point would be marked, for given unknowns of flight, bending and camera.

In the plane of the picture the arrow's balance point goes straight on at one speed (from beside it
falls as well), the shaft turns at one rate about it, and its ends swing with the lowest bending
shape of the free arrow:

    across(s, t) = s·(angle + rate·t) + shape(s)·e^(-ζωt)·(A cos ωt + B sin ωt)

Over the two hundredths of a second of a film the flight's own change of the rate is some percent
of it. The camera: the scale at the middle of the film; the picture's turn against the path, so
that only angles from the path are ever told; a scale that changes along the path, where the camera
is not square to it; a lens that draws the edges in or out; rows that are exposed one after another.
Pinhole and radial distortion as in any text on cameras (Hartley and Zisserman 2004, *Multiple View
Geometry in Computer Vision*, ch. 6 and 7, from memory).
"""

import math

import numpy as np

from vireton.bow.arrow import STANDARD_GRAVITY
from vireton.film.clip import Clip
from vireton.film.shaft import DAMPING, Shaft
from vireton.kernel.arrays import FloatArray

#: The unknowns of one clip. ``across``, ``down``: of the balance point at the middle of the film,
#: picture units; ``scale``: logarithm of picture units a m; ``turn``: rad of the path in the
#: picture; ``tilt``: change of scale along an arrow's length; ``speed`` m/s; ``angle`` rad and
#: ``rate`` rad/s of the shaft from the path; ``cosine``, ``sine`` m of the nock's swing;
#: ``pitch``: logarithm of the frequency over the shaft's own; ``readout`` s; ``lens``: by how much
#: the picture's edge is drawn out, as a share.
UNKNOWNS = (
    "across",
    "down",
    "scale",
    "turn",
    "tilt",
    "speed",
    "angle",
    "rate",
    "cosine",
    "sine",
    "pitch",
    "readout",
    "lens",
)
AT = {name: k for k, name in enumerate(UNKNOWNS)}


class Camera:
    """One clip of one arrow, ready to say where its marks would be."""

    def __init__(self, clip: Clip, shaft: Shaft) -> None:
        self.clip, self.shaft = clip, shaft
        frames = clip.frames
        times = np.array(clip.times)
        self.middle = float(times.mean())
        self.times = np.repeat(times - self.middle, 2)
        self.marks = np.array([mark for one in frames for mark in (one.nock, one.point)])
        count = len(frames)
        self.arms = np.tile([-shaft.rear, shaft.front], count)
        self.shapes = np.tile([1.0, shaft.point_share], count)
        # rows run along the longer side of the sensor, and are read one after another
        width, height = clip.picture
        scan = 1 if width >= height else 0
        self.rows = self.marks[:, scan] / clip.picture[scan] - 0.5
        self.way = clip.way
        #: How far the flight goes across the rows: 0 along them, 1 right across.
        self.across_rows = abs(self.way[scan])
        # right of the path is clockwise of it, seen from above; up is up in the picture
        self.side = 1.0 if clip.view == "above" or self.way[0] < 0.0 else -1.0
        self.fall = STANDARD_GRAVITY if clip.view == "beside" else 0.0

    def seen(self, unknowns: FloatArray) -> FloatArray:
        """Marks (…, 2·frames, 2), nock and point in turn, picture units; ``unknowns`` (…, 13)."""
        t = self.times + unknowns[..., AT["readout"], None] * self.rows
        return self.drawn(unknowns, self.arms, self.shapes, t)

    def drawn(
        self, unknowns: FloatArray, arms: FloatArray, shapes: FloatArray, t: FloatArray
    ) -> FloatArray:
        """Places (…, k, 2) at times ``t`` (…, k) s from the film's middle of points on the shaft.

        ``arms`` (k,) m ahead of the balance point, ``shapes`` (k,) of the bending shape there.
        """
        u = {name: unknowns[..., k, None] for name, k in AT.items()}
        omega = 2.0 * math.pi * self.shaft.frequency * np.exp(u["pitch"])
        swing = u["cosine"] * np.cos(omega * t) + u["sine"] * np.sin(omega * t)
        swing = swing * np.exp(-DAMPING * omega * t)
        along = u["speed"] * t + arms
        beside = arms * (u["angle"] + u["rate"] * t) + shapes * swing - 0.5 * self.fall * t * t
        nearer = 1.0 + u["tilt"] * along / self.shaft.length
        along, beside = along / nearer, self.side * beside / nearer
        size, cosine, sine = np.exp(u["scale"]), np.cos(u["turn"]), np.sin(u["turn"])
        flat = np.stack(
            [
                u["across"] + size * (along * cosine - beside * sine),
                u["down"] + size * (along * sine + beside * cosine),
            ],
            axis=-1,
        )
        from_center = flat - 0.5 * np.array(self.clip.picture)
        out = np.sum((from_center / (0.5 * self.clip.longer_side)) ** 2, axis=-1)
        return np.asarray(flat + (u["lens"] * out)[..., None] * from_center)

    def first_guess(self) -> FloatArray:
        """(13,) from the arrow's length in the picture and the way between the first and last."""
        nocks, points = self.marks[0::2], self.marks[1::2]
        share = self.shaft.rear / self.shaft.length
        balance = nocks + share * (points - nocks)
        length = float(np.mean(np.linalg.norm(points - nocks, axis=1)))
        size = length / self.shaft.length
        gone = balance[-1] - balance[0]
        found = np.zeros(len(UNKNOWNS))
        found[[AT["across"], AT["down"]]] = balance.mean(axis=0)
        found[AT["scale"]] = math.log(size)
        found[AT["turn"]] = math.atan2(gone[1], gone[0])
        found[AT["speed"]] = float(np.linalg.norm(gone)) / size / self.clip.times[-1]
        found[AT["readout"]] = self.clip.readout_time
        return found
