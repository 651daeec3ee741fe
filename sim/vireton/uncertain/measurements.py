"""What a bench can measure of a bow: one row a measurement, with its error and what it tells.

To add one is to add a row to :data:`MEASUREMENTS`; its keys are a field of the ``[measured]`` table
(:mod:`vireton.setup.models_measured`). What it tells (:mod:`vireton.uncertain.bench_readings`)
narrows the uncertain inputs (:mod:`vireton.uncertain.narrowing`) wherever they are drawn. A row
without ``reads`` narrows none.
"""

from collections.abc import Callable
from dataclasses import dataclass

from vireton.uncertain import bench_readings
from vireton.uncertain.bench_readings import Reads, Taken
from vireton.uncertain.row import Pieces


@dataclass(frozen=True)
class Measurement:
    """One row.

    ``key``: in the ``[measured]`` table; with ``place``: the key of the file that holds the reading
    instead. ``words`` for people, ``verb`` as an order. ``needs``; ``how``: three lines, safely;
    ``minutes`` at the bench (our choice). ``reads``: what it tells. ``planned``: what is set by who
    measures, such as the weight, on a bow of these pieces. ``pinned``: the first pieces with what
    is read of the second put in, where that is no uncertain input. ``typed``: as the file writes
    it, a key a line. ``replaces``: keys of the setup file that it knows better. ``applies``:
    whether this bow has it.
    """

    key: str
    words: str
    verb: str
    needs: str
    how: tuple[str, str, str]
    minutes: float
    reads: tuple[Reads, ...] = ()
    planned: Callable[[Pieces], Taken] = lambda pieces: {}
    pinned: Callable[[Pieces, Pieces], Pieces] | None = None
    place: str = ""
    typed: tuple[str, ...] = ()
    replaces: tuple[str, ...] = ()
    applies: Callable[[Pieces], bool] = lambda pieces: True

    @property
    def where(self) -> str:
        """The key of the setup file that holds it."""
        return self.place or f"measured.{self.key}"


def _has_spine(one: Pieces) -> bool:
    return one.parts.shaft.spine_deflection is not None


MEASUREMENTS: tuple[Measurement, ...] = (
    Measurement(
        "push",
        "push test",
        "do the push test",
        "a bow vise, a spring scale or a 5 lb weight over a pulley, a dial indicator, a caliper",
        (
            "A technician's job: bow in the vise, no arrow, never drawn; hands off the cams",
            "Pull the string straight to the side at the nocking point with 5 lb; let it settle",
            "Against the riser, read how far the nocking point goes, and the cams (mean of both)",
        ),
        10.0,
        bench_readings.PUSH,
        bench_readings.planned_push,
        typed=('push.weight = "5 lbf"', 'push.nock = "0.36 in"', 'push.cams = "0.085 in"'),
        replaces=("bow.string.cam_stiffness",),
    ),
    Measurement(
        "string_mass",
        "string on a grain scale",
        "weigh the string",
        "a grain scale, a bow press, a spare string like this one or this one off the bow",
        (
            "Weigh a spare string, or take this one off in the bow press, as the bow's maker says",
            "Weigh it with peep, loop and silencers; take off the ends that lie in the cams",
            "Back on, check peep, timing and draw length before the first arrow",
        ),
        20.0,
        bench_readings.STRING_MASS,
        typed=('string_mass = "9.6 g"',),
        replaces=("bow.string.mass",),
    ),
    Measurement(
        "lets_go",
        "rest's let-go from film",
        "film when the rest lets go",
        "a camera of 1000 frames a second or more beside the rest, good light",
        (
            "Shoot at a stop-rated backstop, nobody ahead of or beside the bow; camera on a stand",
            "Find three frames: full draw, the rest off the shaft, the nock off the string",
            "Take how far the nock has come when the rest leaves, of its whole way",
        ),
        10.0,
        bench_readings.LETS_GO,
        typed=('lets_go = "42 % ± 5 %"',),
        replaces=("bow.rest.lets_go",),
    ),
    Measurement(
        "own_spine",
        "spine of the own shaft",
        "measure the shaft's spine",
        "two supports 28 in apart, a 1.94 lb weight, a dial indicator",
        (
            "Flex-check the shaft first; a cracked one goes to the bin",
            "Lay the bare shaft on the supports, hang the weight in the middle, read the dial",
            "Turn it by a quarter, read again, write the mean; a short shaft: say your own span",
        ),
        5.0,
        bench_readings.SPINE,
        bench_readings.planned_spine,
        typed=(
            'own_spine.deflection = "0.343 in"',
            'own_spine.span = "28 in"',
            'own_spine.weight = "1.94 lbf"',
        ),
        replaces=("arrow.shaft.spine",),
        applies=_has_spine,
    ),
    Measurement(
        "draw_curve",
        "draw force every inch",
        "read the draw force every inch",
        "a draw board with a crank, a bow scale, a tape",
        (
            "A technician's job, on a draw board; never let a weight hang on a drawn bow",
            "Crank from brace height on and read the scale at every inch up to full draw",
            "Crank back down slowly and never let go: a shot without an arrow breaks the bow",
        ),
        15.0,
        bench_readings.DRAW_CURVE,
        place="bow.draw_curve.readings",
        typed=('readings = ["12 lbf", "23 lbf", "33 lbf", …]',),
    ),
    Measurement(
        "note",
        "plucked note of the string",
        "pluck the string and read its note",
        "a tuner that shows Hz, a tape, the string's mass per length",
        (
            "Bow at rest in the vise, no arrow, never drawn; pluck lightly to the side",
            "Hold the cables still and read the lowest note in Hz, some times",
            "Tape the free length between the cams; weigh strands and serving for mass per length",
        ),
        5.0,
        bench_readings.NOTE,
        bench_readings.planned_note,
        typed=(
            'note.frequency = "140 Hz"',
            'note.free_length = "32 in"',
            'note.mass_per_length = "12 g/m"',
        ),
    ),
    Measurement(
        "speeds",
        "speed with its spread",
        "shoot five through the chronograph",
        "a chronograph, five fletched arrows of this file",
        (
            "Shoot at a stop-rated backstop through the chronograph, square to its window",
            "Five arrows of this file, the same draw each time",
            "Write all five; do not pick",
        ),
        10.0,
        bench_readings.SPEEDS,
        bench_readings.planned_speeds,
        typed=('speeds = ["279 fps", "281 fps", "280 fps", "280 fps", "279 fps"]',),
        replaces=("bow.arrow_speed",),
    ),
    Measurement(
        "balance",
        "balance point",
        "balance the arrow",
        "a knife edge, a tape",
        (
            "Lay the finished, fletched arrow across the edge until it stays level",
            "Measure from the nock's throat to the edge",
            "Turn it end for end, measure again, write the mean",
        ),
        2.0,
        pinned=bench_readings.balanced_as,
        place="arrow.balance",
        typed=('balance = "17.5 in"',),
    ),
)

_BY_KEY = {one.key: one for one in MEASUREMENTS}


def measurement(key: str) -> Measurement:
    """The row of this key. Raises KeyError."""
    return _BY_KEY[key]
