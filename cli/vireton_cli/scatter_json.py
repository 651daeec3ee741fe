"""JSON of ``vireton scatter``."""

import math
from typing import TYPE_CHECKING, Any

from vireton.bow.arrow import GRAIN
from vireton.bow.cautions import cautions
from vireton.scatter.estimates import Group, ellipse
from vireton.units.numbers import MPH
from vireton_cli.heading import arrow_json
from vireton_cli.scatter_words import NO_ADVICE
from vireton_cli.showing import FOOT, INCH, YARD, number, pair

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.scatter.case import Case
    from vireton.scatter.plausible import GroupBands
    from vireton.scatter.study import Answer


def answer_json(
    rig: "Rig", case: "Case", answer: "Answer", bands: "dict[str, GroupBands]", draws: int
) -> dict[str, Any]:
    """The whole answer; ``interplay`` is what several sources make only together."""
    spread = case.scatter
    return {
        "schema": 1,
        "label": case.label,
        "warnings": list(cautions(rig.bow, rig.fletched, rig.bare)),
        "notes": list(rig.notes),
        "caution": NO_ADVICE,
        "arrow": arrow_json(rig),
        "scatter_sd": {
            "aim_right_mrad": spread.aim_right * 1e3,
            "aim_up_mrad": spread.aim_up * 1e3,
            "yaw_rate_rad_s": spread.yaw_rate,
            "pitch_rate_rad_s": spread.pitch_rate,
            "yaw_deg": math.degrees(spread.yaw),
            "pitch_deg": math.degrees(spread.pitch),
            "speed_fps": spread.speed / FOOT,
            "gust_across_mph": spread.gust_across / MPH,
            "gust_along_mph": spread.gust_along / MPH,
            "mass_grains": spread.mass / GRAIN,
            "spine_in": spread.spine / INCH,
        },
        "target_in": number(case.target / INCH),
        "seed": case.seed,
        "draws": draws,
        "arrows": answer.arrows,
        "precision_reached": answer.reached_precision,
        "arrows_needed": answer.arrows_needed,
        "groups": {kind: _rows(group, bands[kind]) for kind, group in answer.groups.items()},
    }


def _rows(group: Group, bands: "GroupBands") -> list[dict[str, Any]]:
    return [_row(group, bands, i) for i in range(group.distance.size)]


def _row(group: Group, bands: "GroupBands", i: int) -> dict[str, Any]:
    long, short, lean = ellipse(group.covariance[i])
    row: dict[str, Any] = {"distance_yd": number(group.distance[i] / YARD)}
    columns = (
        ("sd_right_in", group.sd, bands.sd, (i, 0), INCH),
        ("sd_up_in", group.sd, bands.sd, (i, 1), INCH),
        ("mean_radius_in", group.radius, bands.radius, (i,), INCH),
        ("center_right_in", group.center, bands.center, (i, 0), INCH),
        ("center_up_in", group.center, bands.center, (i, 1), INCH),
        ("hit_probability", group.hits, bands.hits, (i,), 1.0),
    )
    for name, estimate, banded, at, size in columns:
        row[name] = number(estimate.value[at] / size)
        row[f"{name}_error"] = number(estimate.error[at] / size)
        row[f"{name}_range"] = pair((banded.low[at], banded.high[at]), size)
    row["covariance_right_up_in2"] = number(group.covariance[i, 0, 1] / INCH**2)
    row["ellipse_95"] = {
        "long_half_axis_in": number(long / INCH),
        "short_half_axis_in": number(short / INCH),
        "lean_deg": number(math.degrees(lean)),
    }
    row["reached_share"] = number(group.reached[i])
    for side, shares in group.shares.items():
        names = (*group.sources, "interplay")
        row[f"variance_shares_{side}"] = {
            name: number(shares.value[i, k]) for k, name in enumerate(names)
        }
        row[f"variance_shares_{side}_error"] = {
            name: number(shares.error[i, k]) for k, name in enumerate(names)
        }
    return row
