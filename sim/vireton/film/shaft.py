"""What the reading of a film needs of an arrow."""

from dataclasses import dataclass

from vireton.bow.arrow import Arrow
from vireton.launch.beam import free_frequencies, modes

#: Hz, for an arrow whose spine is not known, and how far a frequency may be off, as a share: with
#: a spine, and without (our choice, no source).
_USUAL_FREQUENCY = 80.0
_KNOWN, _UNKNOWN = 0.06, 0.25
#: Of critical: bending dies away by a tenth in a swing (our choice, no source).
DAMPING = 0.015


@dataclass(frozen=True)
class Shaft:
    """m from the balance point to the nock's throat (``rear``) and to the tip (``front``).

    ``frequency`` Hz of the lowest bending shape of the free arrow, known to
    ``frequency_error`` as a share; at the point that shape is ``point_share`` of what it is at the
    nock, to the same side.
    """

    rear: float
    front: float
    frequency: float
    frequency_error: float
    point_share: float

    @property
    def length(self) -> float:
        """Throat to tip, m."""
        return self.rear + self.front


def shaft_of(arrow: Arrow) -> Shaft:
    """From the arrow's own length, balance, spine and masses (:mod:`vireton.launch.beam`)."""
    free = modes(arrow, pinned=False, flexible=1)
    known = arrow.stiffness is not None
    return Shaft(
        arrow.balance,
        arrow.total_length - arrow.balance,
        float(free_frequencies(arrow, arrow.stiffness, 1)[0])
        if arrow.stiffness is not None
        else _USUAL_FREQUENCY,
        _KNOWN if known else _UNKNOWN,
        free.first_bending_at_point / free.first_bending_at_nock,
    )
