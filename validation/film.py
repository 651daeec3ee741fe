"""Films of known flights: do the stated errors hold, and what do frame rate and exposure do?

    python validation/film.py [CLIPS]

Both demo bows (invented), bare and fletched, launched with drawn errors. The flight is the
library's own; nock and point swing with the first two bending shapes; the camera is a pinhole in
space (tests/filmed.py), turned, off the path's middle, with a lens and with rows that are exposed
one after another; marks are read with an error, and to the same side by a part of it. Angle and
rate are scored where the reading says it holds. CLIPS (200) for each row; some clips are rendered
as pixels and read back by a marker (film_pixels.py). Writes film.md beside itself, asserts nothing.
"""

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
sys.path[:0] = [str(HERE), str(HERE.parent / "tests")]

from film_pixels import NOISE, marked, rendered  # noqa: E402

from filmed import FloatArray, Motion, Phone, phone  # noqa: E402
from vireton.bow.arrow import Arrow  # noqa: E402
from vireton.film.clip import Clip, Frame, View  # noqa: E402
from vireton.film.reading import read_film  # noqa: E402
from vireton.film.shaft import shaft_of  # noqa: E402
from vireton.flight.flight import Conditions, initial_state, prepare  # noqa: E402
from vireton.kernel.door import fly_to_planes  # noqa: E402
from vireton.launch.beam import free_frequencies, modes  # noqa: E402
from vireton.rig import Rig, assemble_rig  # noqa: E402
from vireton.setup import load_setup  # noqa: E402
from vireton.units.problems import InputProblem  # noqa: E402

FOOT, DEGREE = 0.3048, np.pi / 180.0


@dataclass(frozen=True)
class How:
    """How a film is taken and read. ``shows`` m of the path; ``reading``, ``told`` pixels."""

    fps: float = 240.0
    exposure: float = 1.0 / 2000.0
    shows: float = 9.0 * FOOT
    reading: float = 1.5
    pixels: bool = False
    along_rows: bool = True
    wrong: float = 0.0
    told: float | None = None


@dataclass(frozen=True)
class Shot:
    """One flight: ``motion`` of its shaft; true yaw and pitch, and rates, by place (k,) m."""

    arrow: Arrow
    speed: float
    brace: float
    motion: Motion
    places: FloatArray
    angle: FloatArray
    rate: FloatArray


def rigs() -> list[Rig]:
    """Both demo bows."""
    found = []
    for name in ("mill", "orchard"):
        setup = load_setup(HERE.parent / "examples" / f"{name}_bow.toml")
        found.append(assemble_rig(setup.bow, setup.parts, Conditions(setup.air), setup.sight))
    return found


def loosed(rig: Rig, arrow: Arrow, chance: np.random.Generator) -> Shot:
    """A shot with drawn launch errors and a drawn swing."""
    launch = rig.launch(arrow)
    launch = replace(
        launch,
        yaw=chance.normal(0.0, 0.006),
        pitch=chance.normal(0.0, 0.006),
        yaw_rate=chance.normal(0.0, 0.6),
        pitch_rate=chance.normal(0.0, 0.6),
        direction_right=chance.normal(0.0, 0.003),
    )
    brace = rig.bow.brace_height
    start = initial_state(arrow, launch, rig.aim, brace)
    planes = start[0] + np.arange(1, 120) * 0.05
    flown = fly_to_planes(start, prepare(arrow, launch.speed, rig.conditions), planes, 0.0)
    times = np.concatenate([[0.0], flown.times])
    states = np.concatenate([start[None], flown.states])
    axis, way = states[:, 6:9], states[:, 3:6]
    yaw, pitch = np.arctan2(axis[:, 2], axis[:, 0]), np.arcsin(axis[:, 1])
    path = np.arctan2(way[:, 2], way[:, 0]), np.arctan2(way[:, 1], np.hypot(way[:, 0], way[:, 2]))
    rate = np.gradient(np.column_stack([yaw, pitch]), times, axis=0, edge_order=2)
    swing = swinging(arrow, chance)

    def motion(stations: FloatArray, at: FloatArray) -> FloatArray:
        def now(values: FloatArray) -> FloatArray:
            return np.column_stack([np.interp(at, times, values[:, k]) for k in range(3)])

        bent = swing(stations, at)
        found = now(states[:, :3]) + stations[:, None] * now(axis)
        found[:, 2] += bent[:, 0]
        found[:, 1] += bent[:, 1]
        return found

    angle = np.column_stack([yaw - path[0], pitch - path[1]])
    return Shot(arrow, launch.speed, brace, motion, states[:, 0], angle, rate)


def swinging(
    arrow: Arrow, chance: np.random.Generator
) -> Callable[[FloatArray, FloatArray], FloatArray]:
    """Two bending shapes: some 1 and 0.15 mm at the nock, frequencies 4 % other than computed."""
    shapes = modes(arrow, pinned=False, flexible=2)
    nodes = np.linspace(0.0, arrow.total_length, len(shapes.place))
    frequencies = free_frequencies(arrow, arrow.stiffness or 6.0, 2) * np.exp(
        chance.normal(0.0, 0.04)
    )
    sizes = chance.normal(0.0, 1.0, (2, 2, 2)) * np.array([1e-3, 0.15e-3])[:, None, None]
    damping = chance.uniform(0.008, 0.025)

    def swing(stations: FloatArray, at: FloatArray) -> FloatArray:
        total = np.zeros((len(stations), 2))
        for k in range(2):
            table = shapes.place[:, 2 + k] / shapes.place[0, 2 + k]
            shape = np.interp(stations + arrow.balance, nodes, table)
            phase = 2.0 * np.pi * frequencies[k] * at
            decay = np.exp(-damping * phase)
            for axis in range(2):
                a, b = sizes[k, axis]
                total[:, axis] += shape * decay * (a * np.cos(phase) + b * np.sin(phase))
        return total

    return swing


def taken(shot: Shot, view: View, how: How, chance: np.random.Generator) -> Clip:
    """The film of a shot, and its marks as somebody sets them. Raises InputProblem for too few."""
    away = how.shows * 1400.0 / 1920.0
    middle = np.array([0.5 * how.shows - shot.brace, chance.normal(0.0, 0.03), 0.0])
    middle += np.array([0.0, 0.0, 0.08]) * chance.normal(size=3)
    if view == "beside":
        middle[1] = chance.normal(0.0, 0.08)
    roll = 0.0 if how.along_rows else 0.5 * np.pi
    off = np.array([0.0, 0.0, roll]) + chance.normal(0.0, 2.0 * DEGREE, 3)
    camera = phone(
        view, middle, away, off=tuple(off), lens=chance.normal(0.0, 0.004),
        readout=float(chance.choice([-1.0, 1.0]) * chance.uniform(0.4, 0.95) / how.fps),
        **({} if how.along_rows else {"picture": (1920.0, 1920.0)}),
    )  # fmt: skip
    arms = np.array([-shot.arrow.balance, shot.arrow.total_length - shot.arrow.balance])
    first = chance.uniform(0.0, 1.0) / how.fps
    moments = first + np.arange(60) / how.fps
    moments = moments[moments < 5.0 / shot.speed]
    frames = camera.film(shot.motion, arms, moments)
    if how.pixels:
        frames = [
            (n, developed(camera, shot, arms, moments[n], how, away, chance)) for n, _ in frames
        ]
    else:
        off = errors(camera, shot, away, how, len(frames), chance)
        frames = [(n, marks + one) for (n, marks), one in zip(frames, off, strict=True)]
    edge = np.array(camera.picture)
    clip = tuple(Frame(n, *(tuple(np.clip(one, 0.0, edge)) for one in m)) for n, m in frames)
    return Clip(view, clip, how.fps, camera.picture, how.exposure, reading_error=how.told)


def developed(
    camera: Phone, shot: Shot, arms: FloatArray, moment: float, how: How, away: float,
    chance: np.random.Generator,
) -> FloatArray:  # fmt: skip
    """Marks of a frame that was rendered."""
    dark, row = rendered(camera, shot.motion, arms, moment, how.exposure, away)
    return marked(dark + NOISE * chance.normal(size=dark.shape), row)


def errors(
    camera: Phone, shot: Shot, away: float, how: How, count: int, chance: np.random.Generator
) -> FloatArray:
    """Pixels (count, 2, 2) by which marks are set wrong: chance, the same side, blur, slips."""
    blur = shot.speed * how.exposure * camera.focal / away
    found = how.reading * chance.normal(size=(count, 2, 2))
    found += 0.4 * how.reading * chance.normal(size=(1, 2, 2))
    along = 0 if how.along_rows else 1
    found[..., along] += blur * chance.uniform(-0.2, 0.2, (count, 2))
    slips = chance.uniform(size=(count, 2)) < how.wrong
    found[slips] += 8.0 * how.reading * chance.normal(size=(int(slips.sum()), 2))
    return found


@dataclass
class Score:
    """Errors of angle, rad, and rate, rad/s (k, 2), as they are and as they were stated."""

    off: list[tuple[float, float]]
    told: list[tuple[float, float]]
    frames: list[int]
    lost: int = 0

    def cells(self) -> list[str]:
        """frames, rate: RMS and stated, held; angle the same; clips lost."""
        if not self.off:
            return ["–"] * 7 + [str(self.lost)]
        off, told = np.array(self.off), np.array(self.told)
        held = np.mean(np.abs(off) <= 1.96 * told, axis=0)
        real, stated = np.sqrt(np.mean(off**2, axis=0)), np.sqrt(np.mean(told**2, axis=0))
        return [
            f"{np.median(self.frames):.0f}",
            *(f"{real[1]:.2f}", f"{stated[1]:.2f}", f"{held[1]:.0%}"),
            *(f"{real[0] / DEGREE:.2f}", f"{stated[0] / DEGREE:.2f}", f"{held[0]:.0%}"),
            str(self.lost),
        ]


def played(how: How, clips: int, seed: int, bows: list[Rig]) -> Score:
    """So many clips taken and read."""
    score = Score([], [], [])
    for k in range(clips):
        chance = np.random.default_rng([seed, k])
        rig = bows[k % 2]
        arrow = rig.bare if k % 4 < 2 else rig.fletched
        view: View = "above" if k % 8 < 4 else "beside"
        shot = loosed(rig, arrow, chance)
        try:
            clip = taken(shot, view, how, chance)
            reading = read_film(clip, shaft_of(arrow), shot.speed)
        except InputProblem:
            score.lost += 1
            continue
        axis = 0 if view == "above" else 1
        place = reading.ahead - shot.brace
        angle, rate = (
            float(np.interp(place, shot.places, one[:, axis])) for one in (shot.angle, shot.rate)
        )
        score.off.append((reading.angle - angle, reading.rate - rate))
        score.told.append((reading.angle_error, reading.rate_error))
        score.frames.append(len(clip.frames))
    return score


USUAL = How()
ROWS: list[tuple[str, How]] = [
    ("240 a second, 1/2000 s, 9 ft of path, 1.5 pixels", USUAL),
    ("marks to 1 pixel", replace(USUAL, reading=1.0)),
    ("marks to 2 pixels", replace(USUAL, reading=2.0)),
    ("marks to 0.3 pixels", replace(USUAL, reading=0.3)),
    ("one mark in 30 far off", replace(USUAL, wrong=1.0 / 30.0)),
    ("5 ft of path (1.5 m)", replace(USUAL, shows=1.5)),
    ("7 ft of path", replace(USUAL, shows=7.0 * FOOT)),
    ("12 ft of path", replace(USUAL, shows=12.0 * FOOT)),
    ("120 a second", replace(USUAL, fps=120.0)),
    ("120 a second, 15 ft of path", replace(USUAL, fps=120.0, shows=15.0 * FOOT)),
    ("60 a second", replace(USUAL, fps=60.0)),
    ("60 a second, 15 ft of path", replace(USUAL, fps=60.0, shows=15.0 * FOOT)),
    ("1/500 s", replace(USUAL, exposure=1.0 / 500.0)),
    ("1/1000 s", replace(USUAL, exposure=1.0 / 1000.0)),
    ("1/4000 s", replace(USUAL, exposure=1.0 / 4000.0)),
    ("across the sensor's rows", replace(USUAL, along_rows=False)),
    ("marks to 0.3 pixels, told so", replace(USUAL, reading=0.3, told=0.3)),
]
RENDERED: list[tuple[str, How]] = [
    (f"rendered, 1/{1.0 / one:.0f} s", replace(USUAL, pixels=True, exposure=one))
    for one in (1.0 / 4000.0, 1.0 / 2000.0, 1.0 / 1000.0)
]
RENDERED.append(("rendered, 1/2000 s, told 0.3 pixels", replace(USUAL, pixels=True, told=0.3)))
HEADS = [
    *("film", "frames", "rate: off (RMS), rad/s", "stated", "95 % held"),
    *("angle: off (RMS), °", "stated", "95 % held", "lost"),
]


def main(clips: int, pixels: int) -> None:
    """Take, read, score, write."""
    bows = rigs()
    rows = [[name, *played(how, clips, 11 + k, bows).cells()] for k, (name, how) in enumerate(ROWS)]
    drawn = [
        [name, *played(how, pixels, 51 + k, bows).cells()] for k, (name, how) in enumerate(RENDERED)
    ]
    table = [
        f"| {' | '.join(HEADS)} |",
        "|" + "---|" * len(HEADS),
        *(f"| {' | '.join(row)} |" for row in (*rows, *drawn)),
    ]
    text = (HERE / "film_head.md").read_text(encoding="utf-8")
    page = text.format(clips=clips, pixels=pixels, table="\n".join(table))
    (HERE / "film.md").write_text(page, encoding="utf-8")
    print(page)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200, 24)
