"""Vectors as 3-tuples of floats: they live in registers, which small arrays do not."""

from vireton.kernel.compiled import inlined

Vector = tuple[float, float, float]


@inlined
def add(a: Vector, b: Vector) -> Vector:
    """a + b."""
    return (a[0] + b[0], a[1] + b[1], a[2] + b[2])


@inlined
def subtract(a: Vector, b: Vector) -> Vector:
    """a − b."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


@inlined
def scale(s: float, a: Vector) -> Vector:
    """s·a."""
    return (s * a[0], s * a[1], s * a[2])


@inlined
def plus_scaled(a: Vector, s: float, b: Vector) -> Vector:
    """a + s·b."""
    return (a[0] + s * b[0], a[1] + s * b[1], a[2] + s * b[2])


@inlined
def dot(a: Vector, b: Vector) -> float:
    """a·b."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


@inlined
def cross(a: Vector, b: Vector) -> Vector:
    """a × b (right-handed)."""
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )
