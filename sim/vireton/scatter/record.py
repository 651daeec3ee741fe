"""What a block of shots leaves behind: sums, small and of one size whatever the number of shots."""

from dataclasses import dataclass, fields

import numpy as np

from vireton.kernel.arrays import FloatArray

#: Highest degree of the polynomials in one source that the shares are told from.
DEGREE = 3


@dataclass(frozen=True, eq=False)
class Record:
    """Sums over shots, of k kinds of arrow at n distances. Deviations in m.

    A deviation (right, up) is from where the same kind lands without any scatter; so near the mean
    that plain sums lose no digits. Arrows that never reach a distance count in ``shot`` only.

    ``shot`` () and ``reached``, ``hits`` (k, n): numbers of arrows; ``radius`` (k, n): length of
    the deviations; ``deviation`` (k, n, 2) and ``products`` (k, n, 2, 2); ``waves`` (k, n, s, d):
    the polynomials of degree 1 to d of the s sources, see :func:`waves`, and ``by_wave``
    (k, n, 2, s, d): each deviation times each of them.
    """

    shot: FloatArray
    reached: FloatArray
    hits: FloatArray
    radius: FloatArray
    deviation: FloatArray
    products: FloatArray
    waves: FloatArray
    by_wave: FloatArray

    def __add__(self, other: "Record") -> "Record":
        """Both together. The order counts in the last bit, so add in the order of the blocks."""
        return Record(*(getattr(self, f.name) + getattr(other, f.name) for f in fields(self)))


def waves(draws: FloatArray) -> FloatArray:
    """Orthonormal Hermite polynomials (m, s, 3) of normal numbers (m, s), degree 1 to 3."""
    square = draws * draws
    return np.stack(
        [draws, (square - 1.0) / np.sqrt(2.0), draws * (square - 3.0) / np.sqrt(6.0)], axis=-1
    )


def record_of(
    places: FloatArray, landing: FloatArray, middle: FloatArray, radius: float, draws: FloatArray
) -> Record:
    """Sums over the shots of one block.

    Args:
        places: (k, m, n, 2) m right and up, nan where never reached.
        landing: (k, n, 2) m: where each kind lands without scatter.
        middle: (n, 2) m: the middle of the target.
        radius: m, of the target.
        draws: (m, s) normal numbers behind the shots.

    Sums run in the order of the shots, with no library that splits them over threads.
    """
    there = np.asarray(np.isfinite(places).all(axis=-1))
    found = there.astype(float)
    off = np.where(there[..., None], places - landing[:, None], 0.0)
    beside = np.where(there[..., None], places - middle, np.inf)
    wave = waves(draws)
    return Record(
        shot=np.array(float(len(draws))),
        reached=found.sum(axis=1),
        hits=(np.hypot(beside[..., 0], beside[..., 1]) <= radius).astype(float).sum(axis=1),
        radius=np.hypot(off[..., 0], off[..., 1]).sum(axis=1),
        deviation=off.sum(axis=1),
        products=np.einsum("kmni,kmnj->knij", off, off),
        waves=np.einsum("kmn,msd->knsd", found, wave),
        by_wave=np.einsum("kmni,msd->knisd", off, wave),
    )
