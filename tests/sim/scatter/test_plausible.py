"""Bands of plausible bows around a group."""

import numpy as np

from demo import INCH, RANGES, YARD, mill_rig
from vireton.scatter.case import make_case
from vireton.scatter.plausible import group_bands, plausible_cases
from vireton.scatter.sources import Scatter
from vireton.scatter.study import run_study

WHERE = [20 * YARD, 60 * YARD]


def bands(spread):
    rig = mill_rig()
    nominal = make_case(rig, spread, WHERE, 8 * INCH, seed=1)
    others = plausible_cases(rig, spread, WHERE, 8 * INCH, RANGES, draws=8, seed=1)
    first, *rest = run_study([nominal, *others], precision=None, fewest=512)
    return group_bands(first, first, rest)


def test_the_bare_shafts_group_hangs_on_what_is_not_known_and_aim_does_not():
    found = bands(Scatter(aim_right=1e-3, pitch_rate=0.2))
    bare, fletched = found["bare"].sd, found["fletched"].sd
    for band in (bare, fletched):
        assert (band.low <= band.nominal).all()
        assert (band.nominal <= band.high).all()
    assert bare.high[1, 1] - bare.low[1, 1] > 0.1 * bare.nominal[1, 1]
    # windage is geometry: no plausible bow changes it, and all shoot the same draws
    assert np.ptp([fletched.low[:, 0], fletched.high[:, 0]], axis=0).max() < 1e-6
    assert set(found) == {"fletched", "bare"}
