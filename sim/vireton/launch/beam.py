"""The arrow as a bending beam: its mass and stiffness as matrices, and its few lowest modes.

Euler–Bernoulli beam with cubic Hermite elements of equal length (any finite-element text, e.g.
Bathe 1996, *Finite Element Procedures*); unknowns are place and slope at each node. The arrow's
parts lie where they are, not where nodes happen to be: every integral is split at the parts' ends,
so mass, balance and inertia come out exactly as in :mod:`vireton.bow.arrow`.
"""

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np

from vireton.bow.arrow import Arrow, Lump
from vireton.kernel.arrays import FloatArray

ELEMENTS = 24
FLEXIBLE_MODES = 5

_GAUSS, _WEIGHTS = np.polynomial.legendre.leggauss(4)


@dataclass(frozen=True, eq=False)
class Beam:
    """Matrices (2n, 2n) over place m and slope at each of n nodes, and what is needed to read them.

    ``nodes`` (n,) m from the nock throat; ``mass`` in kg, kg·m and kg·m²; ``bending`` for
    EI = 1 N·m²; ``thrust`` the geometric matrix for an acceleration of 1 m/s² along the arrow: the
    column load at x is the mass ahead of x times the acceleration. ``shift`` and ``turn`` (2n,) are
    the rigid motions by 1 m and by 1 rad about the center of gravity.
    """

    nodes: FloatArray
    mass: FloatArray
    bending: FloatArray
    thrust: FloatArray
    shift: FloatArray
    turn: FloatArray


@dataclass(frozen=True, eq=False)
class Modes:
    """A few shapes of the beam, mass-normalized: ∫ρ φᵢ φⱼ dx = δᵢⱼ.

    ``square_per_stiffness`` (m,): ω² for EI = 1; 0 for rigid ones. ``place`` and ``slope`` are
    (nodes, m); ``thrust`` (m, m); ``shift`` (m,) and ``turn`` (m,) are the shapes' shares of linear
    and angular momentum: Σ shiftᵢ q̇ᵢ is the momentum across the arrow. ``onto_first_bending`` (m,)
    gives the share of each in the lowest bending shape of the *free* arrow, whose ω² per EI is
    ``first_bending_square`` and whose sizes at nock and point are ``first_bending_at_nock`` and
    ``first_bending_at_point``; ``first_bending_sign`` is that of the shape at the nock.
    """

    square_per_stiffness: FloatArray
    place: FloatArray
    slope: FloatArray
    thrust: FloatArray
    shift: FloatArray
    turn: FloatArray
    onto_first_bending: FloatArray
    first_bending_square: float
    first_bending_at_nock: float
    first_bending_at_point: float
    first_bending_sign: float


def shape_functions(x: FloatArray, length: float) -> tuple[FloatArray, FloatArray]:
    """Cubic Hermite functions and their derivatives at ``x`` (k,) of an element: (4, k) each."""
    s = x / length
    value = np.array(
        [
            1.0 - 3.0 * s**2 + 2.0 * s**3,
            length * (s - 2.0 * s**2 + s**3),
            3.0 * s**2 - 2.0 * s**3,
            length * (s**3 - s**2),
        ]
    )
    slope = np.array(
        [
            (6.0 * s**2 - 6.0 * s) / length,
            1.0 - 4.0 * s + 3.0 * s**2,
            (6.0 * s - 6.0 * s**2) / length,
            3.0 * s**2 - 2.0 * s,
        ]
    )
    return value, slope


def _bending_element(h: float) -> FloatArray:
    return (
        np.array(
            [
                [12.0, 6.0 * h, -12.0, 6.0 * h],
                [6.0 * h, 4.0 * h * h, -6.0 * h, 2.0 * h * h],
                [-12.0, -6.0 * h, 12.0, -6.0 * h],
                [6.0 * h, 2.0 * h * h, -6.0 * h, 4.0 * h * h],
            ]
        )
        / h**3
    )


def build(arrow: Arrow, elements: int = ELEMENTS) -> Beam:
    """The beam of this arrow in ``elements`` equal elements (4 or more)."""
    return _build(arrow.lumps, arrow.balance, arrow.total_length, elements)


# what they depend on, and not the arrow, is the key: a shaft as heavy but stiffer is the same beam
@lru_cache(maxsize=32)
def _build(all_lumps: tuple[Lump, ...], balance: float, total_length: float, elements: int) -> Beam:
    h = total_length / elements
    nodes = np.linspace(0.0, total_length, elements + 1)
    size = 2 * (elements + 1)
    mass, bending, thrust = (np.zeros((size, size)) for _ in range(3))
    lumps = [lump for lump in all_lumps if lump.mass > 0.0]
    ends = np.array([end for lump in lumps for end in (lump.start, lump.end)])
    for i in range(elements):
        at = slice(2 * i, 2 * i + 4)
        bending[at, at] += _bending_element(h)
        inside = ends[(ends > nodes[i]) & (ends < nodes[i + 1])]
        cuts = np.unique(np.concatenate([[nodes[i], nodes[i + 1]], inside]))
        for a, b in pairwise(cuts):
            x = 0.5 * (a + b) + 0.5 * (b - a) * _GAUSS
            w = 0.5 * (b - a) * _WEIGHTS
            value, slope = shape_functions(x - nodes[i], h)
            density = rotary = 0.0
            ahead = np.zeros_like(x)
            for lump in lumps:
                length = lump.end - lump.start
                if lump.start <= a and b <= lump.end and length > 0.0:
                    density += lump.mass / length
                    rotary += 0.5 * lump.axial_inertia / length
                share = (lump.end - x) / length if length > 0.0 else (lump.end > x) * 1.0
                ahead += lump.mass * np.clip(share, 0.0, 1.0)
            mass[at, at] += (value * (density * w)) @ value.T + (slope * (rotary * w)) @ slope.T
            thrust[at, at] += (slope * (ahead * w)) @ slope.T
    _add_point_masses(mass, nodes, [lump for lump in lumps if lump.end == lump.start])
    shift, turn = np.zeros(size), np.zeros(size)
    shift[0::2] = 1.0
    turn[0::2] = nodes - balance
    turn[1::2] = 1.0
    return Beam(nodes, mass, bending, thrust, shift, turn)


def _add_point_masses(mass: FloatArray, nodes: FloatArray, lumps: list[Lump]) -> None:
    """Parts without length, such as a nock that ends at its throat: no integral sees them."""
    h = float(nodes[1])
    for lump in lumps:
        i = min(int(lump.start / h), len(nodes) - 2)
        at = slice(2 * i, 2 * i + 4)
        value, slope = shape_functions(np.array([lump.start - nodes[i]]), h)
        mass[at, at] += lump.mass * value @ value.T + 0.5 * lump.axial_inertia * slope @ slope.T


def modes(
    arrow: Arrow, *, pinned: bool, flexible: int = FLEXIBLE_MODES, elements: int = ELEMENTS
) -> Modes:
    """Rigid and lowest ``flexible`` bending shapes.

    Args:
        arrow: its lumps and total length are used; the stiffness scales out.
        pinned: the nock stays where it is (one rigid shape, the turn about the nock) or is free
            (two, shift and turn).
        flexible: how many bending shapes, 0 for a rigid shaft.
        elements: of the beam.
    """
    return _modes(arrow.lumps, arrow.balance, arrow.total_length, pinned, flexible, elements)


@lru_cache(maxsize=64)
def _modes(
    lumps: tuple[Lump, ...],
    balance: float,
    total_length: float,
    pinned: bool,
    flexible: int,
    elements: int,
) -> Modes:
    beam = _build(lumps, balance, total_length, elements)
    squares, shapes = _lowest(beam, balance, pinned, flexible)
    free_squares, free_shapes = _lowest(beam, balance, False, 1)
    first = free_shapes[:, 2]
    return Modes(
        square_per_stiffness=squares,
        place=np.ascontiguousarray(shapes[0::2]),
        slope=np.ascontiguousarray(shapes[1::2]),
        thrust=shapes.T @ beam.thrust @ shapes,
        shift=shapes.T @ beam.mass @ beam.shift,
        turn=shapes.T @ beam.mass @ beam.turn,
        onto_first_bending=shapes.T @ beam.mass @ first,
        first_bending_square=float(free_squares[2]),
        first_bending_at_nock=abs(float(first[0])),
        first_bending_at_point=abs(float(first[-2])),
        first_bending_sign=float(np.sign(first[0])),
    )


def _lowest(
    beam: Beam, balance: float, pinned: bool, flexible: int
) -> tuple[FloatArray, FloatArray]:
    """ω² per EI (m,) and mass-normalized shapes (dof, m), the rigid ones first."""
    keep = np.arange(1 if pinned else 0, beam.mass.shape[0])
    inner = np.ix_(keep, keep)
    lower = np.linalg.cholesky(beam.mass[inner])
    scaled = np.linalg.solve(lower, np.linalg.solve(lower, beam.bending[inner]).T)
    squares, vectors = np.linalg.eigh(0.5 * (scaled + scaled.T))
    rigid = 1 if pinned else 2
    count = rigid + flexible
    shapes = np.zeros((beam.mass.shape[0], count))
    shapes[keep] = np.linalg.solve(lower.T, vectors[:, :count])
    # the rigid shapes exactly, not as round-off found them
    about_nock = beam.turn + balance * beam.shift
    exact = [about_nock] if pinned else [beam.shift, beam.turn]
    for i, shape in enumerate(exact):
        shapes[:, i] = shape / np.sqrt(shape @ beam.mass @ shape)
    return np.where(np.arange(count) < rigid, 0.0, squares[:count]), shapes


def free_frequencies(arrow: Arrow, stiffness: float, count: int = 3) -> FloatArray:
    """Lowest free-free bending frequencies, Hz, of a shaft with ``stiffness`` EI in N·m²."""
    squares = modes(arrow, pinned=False, flexible=count).square_per_stiffness[2:]
    return np.asarray(np.sqrt(squares * stiffness) / (2.0 * np.pi))


def critical_acceleration(arrow: Arrow, stiffness: float, rest: float) -> float:
    """Acceleration, m/s², at which the pushed shaft would buckle between nock and rest.

    Args:
        arrow: with its mass distribution.
        stiffness: EI, N·m².
        rest: m from the nock to the rest; both hold the shaft across and let it turn.

    The lowest eigenvalue of K v = a·G v with the column load falling toward the point as the mass
    ahead does (Timoshenko and Gere 1961, *Theory of Elastic Stability*, ch. 2, for the method). A
    uniform load P on pinned ends L apart gives π²·EI/L².
    """
    beam = build(arrow)
    h = beam.nodes[1]
    i = min(int(rest / h), len(beam.nodes) - 2)
    value, _ = shape_functions(np.array([rest - beam.nodes[i]]), float(h))
    size = beam.mass.shape[0]
    holds = np.zeros((2, size))
    holds[0, 0] = 1.0
    holds[1, 2 * i : 2 * i + 4] = value[:, 0]
    _, _, turned = np.linalg.svd(holds)
    free = turned[2:].T
    bending = stiffness * free.T @ beam.bending @ free
    thrust = free.T @ beam.thrust @ free
    lower = np.linalg.cholesky(bending)
    scaled = np.linalg.solve(lower, np.linalg.solve(lower, thrust).T)
    return float(1.0 / np.linalg.eigvalsh(0.5 * (scaled + scaled.T))[-1])
