"""From Python: how far one 32nd of rest opens bare from fletched, for four let-go points.

Run:  python examples/rest_sweep.py

The bow and the arrow are invented.
"""

from dataclasses import replace
from pathlib import Path

import vireton

INCH = 0.0254

setup = vireton.load(Path(__file__).parent / "mill_bow.toml")
print("rest lets go at   bare − fletched, change at 20 yd, for 1/32 in up")
for lets_go in (0.2, 0.3, 0.4, 0.5):
    known = replace(
        setup,
        bow=replace(setup.bow, rest=replace(setup.bow.rest, lets_go=lets_go)),
        uncertainty={k: v for k, v in setup.uncertainty.items() if k != "rest_lets_go"},
    )
    change = vireton.move_rest(known, up="1/32 in", distances="20 yd")[0].separation_change
    low, value, high = (one[0, 1] / INCH for one in (change.low, change.nominal, change.high))
    print(f"{lets_go:13.0%}     {value:+.2f} in ({low:+.2f} to {high:+.2f})")
