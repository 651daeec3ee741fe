"""From Python: how far one 32nd of rest opens bare from fletched, for four let-go points.

Run:  python examples/rest_sweep.py

The bow and the arrow are invented.
"""

from dataclasses import replace
from pathlib import Path

from vireton.flight import Conditions
from vireton.rig import assemble_rig
from vireton.setup import load_setup
from vireton.whatif import answer_rest_moves

INCH, YARD = 0.0254, 0.9144

setup = load_setup(Path(__file__).parent / "mill_bow.toml")
print("rest lets go at   bare − fletched, change at 20 yd, for 1/32 in up")
for lets_go in (0.2, 0.3, 0.4, 0.5):
    bow = replace(setup.bow, rest=replace(setup.bow.rest, lets_go=lets_go))
    rig = assemble_rig(bow, setup.parts, Conditions(setup.air), setup.sight)
    ranges = {name: pair for name, pair in setup.uncertainty.items() if name != "rest_lets_go"}
    (move,) = answer_rest_moves(rig, [(0.0, INCH / 32)], [20 * YARD], ranges, paper=2.0)
    change = move.separation_change
    low, value, high = (one[0, 1] / INCH for one in (change.low, change.nominal, change.high))
    print(f"{lets_go:13.0%}     {value:+.2f} in ({low:+.2f} to {high:+.2f})")
