"""The rows of ``vireton holds --json``."""

import math
from typing import Any

from vireton.bands import Banded
from vireton.holds import HoldAnswer
from vireton_cli.showing import INCH, YARD, number


def _banded(name: str, values: Banded, i: int, axis: int) -> dict[str, Any]:
    ends = (values.nominal, values.low, values.high)
    value, low, high = (number(float(one[i, axis]) / INCH) for one in ends)
    return {name: value, f"{name}_range": [low, high]}


def _both(values: Banded, i: int) -> dict[str, Any]:
    return _banded("right_in", values, i, 0) | _banded("up_in", values, i, 1)


def hold_rows(answer: HoldAnswer) -> list[dict[str, Any]]:
    """One object a distance; shifts from the aim point with the sight set for that distance."""
    rows = []
    for i, distance in enumerate(answer.distance):
        rows.append(
            {
                "distance_yd": number(distance / YARD),
                "elevation_deg": number(math.degrees(answer.elevation.nominal[i])),
                "wind_from_left": _both(answer.crosswind, i),
                "drift_share_at_half_the_wind": number(answer.drift_at_half[i]),
                "wind_in_the_face": _both(answer.headwind, i),
                "wind_from_behind": _both(answer.tailwind, i),
                "canted": _both(answer.cant, i),
                "slopes": [
                    {
                        "slope_deg": number(math.degrees(one.slope)),
                        **_both(one.shift, i),
                        "shoot_as_yd": number(one.shoot_as.nominal[i] / YARD),
                        "shoot_as_yd_range": [
                            number(end[i] / YARD) for end in (one.shoot_as.low, one.shoot_as.high)
                        ],
                        "third_axis": _both(one.third_axis, i),
                    }
                    for one in answer.slopes
                ],
                "other_air": {name: _both(one, i) for name, one in answer.airs.items()},
            }
        )
    return rows
