"""The made-up bow's page; puts it, and the tuner's bench, where tests find them."""

import sys
from pathlib import Path

import pytest

from vireton.report.content import Advice, Page, PastRound, WhatIf
from vireton.report.shown import Setting
from vireton.report.tables import tabulate

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parent / "tuning")]

from formula import CASES, FAR, GRAIN, MEASURE, REACH  # noqa: E402


@pytest.fixture(scope="session")
def tables():
    return tabulate(CASES, REACH, FAR, GRAIN)


@pytest.fixture(scope="session")
def whatif(tables):
    start = Setting(5, 4, 0.0)
    return WhatIf(
        tables=tables,
        measure=MEASURE,
        distances=("20 yd", "40 yd"),
        right=tuple(f"right {k}" for k in range(9)),
        up=tuple(f"up {k}" for k in range(9)),
        start=start,
        presets=(("start", start), ("still", Setting(4, 4, 0.0))),
        wind_step=0.5,
        heading="What if",
        measured="From the aim point.",
        around="nine of ten",
        cases=("nose right", "nose left"),
        seen=((("fletched", 0.0, 0.0), ("bare", 1.5, -0.5)), ()),
        changes=(("one step right", "apart", Setting(5, 4, 0.0)),),
    )


@pytest.fixture
def page(whatif):
    return Page(
        title="Mill bow <b>& co</b>",
        facts=("280 fps",),
        warnings=("DANGER: too light",),
        advice=Advice("NEXT: rest right 1/32 in", "83 % that it helps", ("look here",)),
        whatif=whatif,
        caution="Backstop.",
        notes=("a note of the rig",),
        history=tuple(
            PastRound(k, "", "rest as it was", ("seen this",), f'"</script><i>{k}', k != 2)
            for k in range(1, 9)
        ),
        back=("to the start: move it left 1/32 in",),
    )
