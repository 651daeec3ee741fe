"""What is said of a distance that an arrow does not carry to."""

import numpy as np
import numpy.typing as npt

from vireton.units.numbers import YARD
from vireton.units.problems import InputProblem

#: What to do about it where the sight is set by the user.
SHORTER_OR_FARTHER = "Ask for shorter distances, or sight in farther out"


def demand_reached(
    who: str,
    distances: npt.ArrayLike,
    found: npt.ArrayLike,
    *,
    why: str = "",
    instead: str = SHORTER_OR_FARTHER,
) -> None:
    """Refuse distances that an arrow never reaches.

    Args:
        who: what flew, such as ``"the bare arrow"``.
        distances: (n,) m.
        found: (n, ...) any numbers of the flights, nan where one did not get so far.
        why: the reason, a few words.
        instead: the next step, a sentence without its full stop.

    Raises InputProblem for the first distance at which a number is missing.
    """
    where, numbers = np.asarray(distances, dtype=float), np.asarray(found, dtype=float)
    never = ~np.isfinite(numbers).all(axis=tuple(range(1, numbers.ndim)))
    if never.any():
        far = float(where[np.argmax(never)])
        reason = f": {why}" if why else ""
        raise InputProblem(
            f"{who} never reaches {far / YARD:.4g} yd ({far:.4g} m){reason}. {instead}"
        )
