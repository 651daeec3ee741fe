"""What a truth and a strategy say to each other. PROTOCOL.md tells it in words.

SI units, the archer's view: right and up positive, m. A tear is tail hole minus point hole, a
separation bare minus fletched, a setting the total rest move (right, up) from the start.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Literal, NamedTuple, Protocol

ArrowKind = Literal["bare", "fletched"]
#: What may be wrong with a log. ``contact``: the rest does not answer, for something touches.
Story = Literal["contact", "reversed", "slipped", "swapped", "decimal"]
Aim = Literal["clean", "together"]
#: Where a film is taken from: above shows yaw, beside shows pitch.
View = Literal["above", "beside"]

YARD = 0.9144
INCH = 0.0254
#: The distance at which separations are scored.
AT = 20.0 * YARD
#: A common distance to the paper.
PAPER = 6.0 * 0.3048


class Vector(NamedTuple):
    """Right and up, m (or rad/s)."""

    right: float
    up: float


HERE = Vector(0.0, 0.0)


class Truth:
    """One bow with its arrows and its archer. Replace ``shoot`` to ``clean``; the rest may stay.

    ``shoot`` and ``tear`` hold chance: call them once for each arrow. The next three are for
    scoring and hold none. ``setting`` is always where the rest really is.
    """

    #: True where something touches and the rest does not answer.
    contact = False

    def shoot(self, arrow: ArrowKind, setting: Vector, distance: float) -> Vector:
        """Where one arrow hits, from the aim."""
        raise NotImplementedError

    def tear(self, arrow: ArrowKind, setting: Vector, paper: float) -> Vector:
        """A tear as it is read off the paper."""
        raise NotImplementedError

    def film(
        self, arrow: ArrowKind, setting: Vector, view: View, error: float
    ) -> "list[list[float]] | None":
        """Marks of one shot: frame, nock right and down, point right and down, in pixels.

        ``error``: pixels by which they are set wrong. None where nothing can be filmed.
        """
        return None

    def separation(self, setting: Vector, distance: float = AT) -> Vector:
        """Mean bare minus mean fletched."""
        raise NotImplementedError

    def clean(self, distance: float = AT) -> Vector:
        """The separation of a clean launch: what an untaped bare shaft does by itself."""
        raise NotImplementedError

    def rates(self, setting: Vector) -> Vector | None:
        """Yaw and pitch rate of the bare shaft at launch, rad/s; None where there are none."""
        return None

    # what goes wrong between the bench and the log: nothing, unless a truth says so

    def carried_out(self, asked: Vector, number: int) -> Vector:
        """What the rest really does when a move is asked for; the log holds what was asked.

        ``number``: of the round that the move begins, the first move begins round 2.
        """
        return asked

    def written(self, seen: Vector, number: int) -> Vector:
        """What is typed when this was seen in round ``number``."""
        return seen

    def happened(self) -> Sequence[tuple[Story, int]]:
        """What has gone wrong so far, each with its round; contact from round 1."""
        return [("contact", 1)] if self.contact else []


@dataclass(frozen=True)
class Shot:
    """One arrow in the target, as logged."""

    arrow: ArrowKind
    distance: float
    hit: Vector


@dataclass(frozen=True)
class Tear:
    """One hole in the paper, as logged."""

    arrow: ArrowKind
    paper: float
    size: Vector


@dataclass(frozen=True)
class Filmed:
    """Marks of one shot, at 240 frames a second in 1920 by 1080 pixels, as logged."""

    arrow: ArrowKind
    view: View
    error: float
    marks: tuple[tuple[float, ...], ...]


@dataclass
class Round:
    """All that was logged at one setting. ``setting`` is what the log believes."""

    number: int
    setting: Vector
    shots: list[Shot] = field(default_factory=list)
    tears: list[Tear] = field(default_factory=list)
    films: list[Filmed] = field(default_factory=list)
    answers: list[tuple[Story, int, bool]] = field(default_factory=list)


@dataclass(frozen=True)
class Claims:
    """Chances that a strategy states together with an action; all of them may be left out.

    ``helps``: that this move leaves less than there is now. ``within``: that what is left now is
    less than this, by m. ``intervals``: by level (0.5, 0.95), the least and the greatest separation
    at :data:`AT` now, right and up apart.
    """

    helps: float | None = None
    within: Mapping[float, float] = field(default_factory=dict)
    intervals: Mapping[float, tuple[tuple[float, float], tuple[float, float]]] = field(
        default_factory=dict
    )


@dataclass(frozen=True)
class Shoot:
    """So many bare and fletched arrows at a target."""

    bare: int = 1
    fletched: int = 1
    distance: float = AT
    claims: Claims = Claims()


@dataclass(frozen=True)
class Paper:
    """So many tears of one arrow."""

    arrow: ArrowKind = "bare"
    count: int = 1
    paper: float = PAPER
    claims: Claims = Claims()


@dataclass(frozen=True)
class Film:
    """So many arrows filmed from one side, their marks set to ``error`` pixels."""

    view: View
    arrow: ArrowKind = "bare"
    count: int = 1
    error: float = 1.5
    claims: Claims = Claims()


@dataclass(frozen=True)
class Move:
    """Move the rest by so much, both axes at once; it begins a round."""

    by: Vector
    claims: Claims = Claims()


@dataclass(frozen=True)
class Ask:
    """Look whether this went wrong in that round. What is so is put right, log and bow alike."""

    story: Story
    round: int = 1
    claims: Claims = Claims()


@dataclass(frozen=True)
class Other:
    """Anything else (nock height, a film). A truth that cannot do it leaves the log as it is."""

    what: str
    claims: Claims = Claims()


@dataclass(frozen=True)
class Stop:
    """Done."""

    claims: Claims = Claims()


Action = Shoot | Paper | Film | Move | Ask | Other | Stop


class Strategy(Protocol):
    """Who tunes. It sees the setup file and the log, and nothing else."""

    #: What it wants: a clean launch, or bare and fletched together.
    aim: Aim

    def begin(self, setup_path: Path) -> None:
        """A new bow."""

    def next(self, history: Sequence[Round]) -> Action:
        """What to do now; the last round of the history is the present one."""
