"""Sizes and directions that the trade goes by (common practice, no source), on the demo bow."""

from pathlib import Path
from typing import Any

import numpy as np

from vireton.flight.flight import Conditions
from vireton.published.checks import CaseData
from vireton.rig import Rig, assemble_rig, vary
from vireton.setup import load_setup
from vireton.uncertain import latin_hypercube
from vireton.units.numbers import INCH

DEMO = Path(__file__).parent.parent.parent / "examples" / "mill_bow.toml"
YARD, FOOT = 0.9144, 0.3048


def draw_rigs(given: dict[str, Any]) -> list[Rig]:
    """The demo bow as it could be, its unmeasured numbers drawn over their plausible ranges."""
    setup = load_setup(DEMO)
    rig = assemble_rig(setup.bow, setup.parts, Conditions(setup.air), setup.sight)
    return [
        vary(rig, values)
        for values in latin_hypercube(setup.uncertainty, given["draws"], given["seed"])
    ]


def shift(rig: Rig, arrow: str, axis: str, distance: float, move: float) -> float:
    """How far the arrow's impact goes, along ``axis``, when the rest goes ``move`` m that way."""
    aimed = getattr(rig, arrow)
    before = rig.shoot(aimed, [distance])
    after = rig.shoot(aimed, [distance], **{axis: move})
    return float(getattr(after, axis)[0] - getattr(before, axis)[0])


def tear_change(rig: Rig, arrow: str, axis: str, paper: float, move: float) -> float:
    """How far tail hole minus point hole goes, along ``axis``, when the rest goes that way, m."""
    aimed = getattr(rig, arrow)
    place = 0 if axis == "right" else 1
    return rig.tear(aimed, paper, **{axis: move})[place] - rig.tear(aimed, paper)[place]


def reproduce(data: CaseData) -> dict[str, float]:
    given = data.data
    rigs = draw_rigs(given)
    move, far = given["move_inches"] * INCH, given["group_yards"] * YARD
    paper, far_paper = given["paper_feet"] * FOOT, given["far_paper_feet"] * FOOT

    fletched_up = np.array([shift(rig, "fletched", "up", far, move) for rig in rigs])
    bare_up = np.array([shift(rig, "bare", "up", far, move) for rig in rigs])
    apart_right = np.array(
        [
            shift(rig, "bare", "right", far, move) - shift(rig, "fletched", "right", far, move)
            for rig in rigs
        ]
    )
    tears = {
        (arrow, axis, at): np.array([tear_change(rig, arrow, axis, at, move) for rig in rigs])
        for arrow, axis, at in (
            ("bare", "up", paper),
            ("bare", "up", far_paper),
            ("bare", "right", paper),
            ("fletched", "up", far_paper),
        )
    }
    walked = np.array(given["walk_back_yards"]) * YARD
    drift = max(float(np.abs(rig.shoot(rig.fletched, walked).right).max()) for rig in rigs)

    def share_of_holes(at: float) -> float:
        return float(np.median(np.abs(tears["fletched", "up", at] / tears["bare", "up", at])))

    return {
        "up_separation": float(np.log2(np.median(np.abs(bare_up - fletched_up)) / INCH)),
        "up_fletched": float(np.median(fletched_up)) / INCH,
        "rule_tail_high": float(np.mean(tears["bare", "up", paper] < 0.0)),
        "rule_bare_right": float(np.mean(apart_right < 0.0)),
        "rule_tail_left": float(np.mean(tears["bare", "right", paper] > 0.0)),
        "fletched_hole_20_ft": share_of_holes(far_paper),
        "walk_back": drift / INCH,
    }
