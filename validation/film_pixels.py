"""Frames of a film as pixels, and a simple marker that reads them back.

A dark shaft before a bright wall. Every row has its own moments of exposure; a pixel is the mean of
what was there meanwhile, and noise. Nothing of the library is in here.
"""

import numpy as np

from filmed import FloatArray, Motion, Phone

#: m of the shaft's outside; share of white that one pixel's noise is; moments in one exposure.
WIDTH, NOISE, MOMENTS = 6e-3, 0.03, 40
_STATIONS = 24


def rendered(
    phone: Phone, motion: Motion, arms: FloatArray, moment: float, exposure: float, away: float
) -> tuple[FloatArray, int]:
    """Darkness (rows, columns) of the band of rows that the arrow is in, and its first row."""
    places = np.linspace(arms[0], arms[1], _STATIONS)
    ends = phone.snap(motion, places, moment)
    first = int(max(0.0, ends[:, 1].min() - 25.0))
    last = int(min(phone.picture[1], ends[:, 1].max() + 25.0))
    rows, columns = np.arange(first, last) + 0.5, np.arange(int(phone.picture[0])) + 0.5
    open_ = moment + phone.readout * (rows / phone.picture[1] - 0.5) - 0.5 * exposure
    half = 0.5 * WIDTH * phone.focal / away
    total = np.zeros((len(rows), len(columns)))
    weight = np.zeros((len(rows), 1))
    # moments from the first row's opening to the last row's closing, each seen by the rows open
    low, high = open_.min(), open_.max() + exposure
    count = int(np.ceil(MOMENTS * (high - low) / exposure))
    for at in low + (np.arange(count) + 0.5) * (high - low) / count:
        seen = (open_ <= at) & (at < open_ + exposure)
        line = phone.project(motion(places, np.full(_STATIONS, at)))
        middle = np.interp(columns, line[:, 0], line[:, 1])
        inside = np.clip(columns - line[0, 0] + 0.5, 0.0, 1.0) * np.clip(
            line[-1, 0] - columns + 0.5, 0.0, 1.0
        )
        dark = np.clip(half - np.abs(rows[seen, None] - middle) + 0.5, 0.0, 1.0) * inside
        total[seen] += dark
        weight[seen] += 1.0
    return total / np.maximum(weight, 1.0), first


def marked(darkness: FloatArray, first: int) -> FloatArray:
    """Marks (2, 2) of nock and point, right and down, read off a noisy band of rows."""
    rows = np.arange(len(darkness)) + first + 0.5
    columns = np.arange(darkness.shape[1]) + 0.5
    profile = np.convolve(darkness.sum(axis=0), np.ones(5) / 5.0, mode="same")
    full = np.percentile(profile, 99.0)
    on = np.flatnonzero(profile > 0.5 * np.median(profile[profile > 0.5 * full]))
    ends = []
    for edge, inward in ((on[0], 1), (on[-1], -1)):
        # the shaft's middle line over the hundred columns inside, led out to the edge
        inside = edge + inward * np.arange(5, 105)
        band = np.clip(darkness[:, inside] - 3.0 * NOISE, 0.0, None)
        heights = (rows[:, None] * band).sum(axis=0) / np.maximum(band.sum(axis=0), 1e-9)
        slope, level = np.polyfit(columns[inside], heights, 1)
        ends.append((columns[edge], level + slope * columns[edge]))
    return np.array(ends)
