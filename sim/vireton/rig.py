"""One bow with its arrows, air and sight: all that one answer depends on, ready to shoot."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, replace

import numpy.typing as npt

from vireton.bow.arrow import Arrow, assemble, bare, with_broadhead
from vireton.bow.bow import Bow, Sight
from vireton.bow.parts import ArrowParts
from vireton.flight.flight import Conditions, Flight, Wind, fly, tear
from vireton.flight.sighting import sight_in
from vireton.flight.volley import Aim
from vireton.launch import Launch, PowerStroke, power_stroke, release
from vireton.uncertain.experience import Experience
from vireton.uncertain.inputs import changed
from vireton.uncertain.row import Pieces

_NO_SPINE = (
    "without arrow.shaft.spine the shaft is taken as rigid and the cams as tied: sideways a real "
    "one may answer far less, or the other way, and no band here holds that. Give the spine"
)


@dataclass(frozen=True)
class LaunchOverride:
    """Angles (rad) and rates (rad/s) that replace those of the launch model; None keeps its own."""

    yaw: float | None = None
    pitch: float | None = None
    yaw_rate: float | None = None
    pitch_rate: float | None = None

    def apply(self, launch: Launch) -> Launch:
        """The launch with what is set here put in."""
        given = {item.name: getattr(self, item.name) for item in fields(self)}
        return replace(launch, **{key: value for key, value in given.items() if value is not None})


@dataclass(frozen=True)
class Rig:
    """A bow, its fletched arrow and the bare shaft that belongs to it, ready to shoot.

    ``broadhead`` is the fletched arrow with its broadhead, None where the setup has none.
    ``experience``: how often the trade's rules hold, by which plausible bows are weighed.
    ``left_open``: what the setup leaves open, in words; ``odd``: what its measurements contradict.

    The cant in ``aim`` is a fault of the hold and not part of the sight-in. Build one with
    :func:`assemble_rig`.
    """

    bow: Bow
    fletched: Arrow
    bare: Arrow
    stroke: PowerStroke
    conditions: Conditions
    sight: Sight
    override: LaunchOverride
    aim: Aim
    broadhead: Arrow | None = None
    experience: Experience = field(default_factory=Experience)
    left_open: tuple[str, ...] = ()
    odd: tuple[str, ...] = ()

    @property
    def arrows(self) -> tuple[Arrow, ...]:
        """All that this bow shoots."""
        return tuple(one for one in (self.fletched, self.bare, self.broadhead) if one is not None)

    @property
    def pieces(self) -> Pieces:
        """What the uncertain inputs change."""
        return Pieces(self.bow, self.fletched.parts, self.conditions.coefficients)

    @property
    def bends(self) -> bool:
        """Whether its shaft bends in the launch."""
        return self.bow.launch_model == "flexible" and self.fletched.stiffness is not None

    @property
    def notes(self) -> tuple[str, ...]:
        """What the parts and the bow's numbers disagree about, and what asks for care."""
        notes = self.fletched.notes + self.stroke.notes
        if self.bow.launch_model == "flexible" and self.fletched.stiffness is None:
            notes += (_NO_SPINE,)
        if self.bow.kick_up != 0.0 and self.bow.cams == "tied":
            notes += (
                "bow.release.kick_up does nothing with tied cams, which hold the nock's height",
            )
        if self.left_open:
            notes += (
                f"left open in the setup file, so taken as usual and the brackets are wider: "
                f"{', '.join(self.left_open)}",
            )
        return notes + self.odd

    def sideways_open(self, move_right: float = 0.0) -> bool:
        """Whether the launch model, and not the user, decides what happens sideways.

        So it is where rest, nock or release push to a side, the rest moved by ``move_right`` m: the
        direction then hangs on how shaft and string bend, and only the bow itself can tell.
        """
        if self.override.yaw is not None and self.override.yaw_rate is not None:
            return False
        return self.bow.pushes_aside(self.bow.rest.offset_right + move_right)

    def launch(self, arrow: Arrow, right: float = 0.0, up: float = 0.0) -> Launch:
        """The arrow as it leaves the string, the rest moved by (right, up) m."""
        return self.override.apply(release(self.bow, self.stroke, arrow, right, up))

    def shoot(
        self, arrow: Arrow, distances: npt.ArrayLike, right: float = 0.0, up: float = 0.0
    ) -> Flight:
        """Fly the arrow with the aim that the sight gives, the rest moved by (right, up) m."""
        return fly(
            arrow,
            self.launch(arrow, right, up),
            self.conditions,
            distances,
            aim=self.aim,
            brace_height=self.bow.brace_height,
        )

    def tear(
        self, arrow: Arrow, paper: float, right: float = 0.0, up: float = 0.0
    ) -> tuple[float, float]:
        """Tear at a paper ``paper`` m from the grip, (right, up) m: tail hole minus point hole.

        The shaft flies straight: what its bending adds is told by :meth:`tear_from_bending`.
        """
        return tear(
            arrow,
            self.launch(arrow, right, up),
            self.conditions,
            paper,
            aim=self.aim,
            brace_height=self.bow.brace_height,
        )

    def tear_from_bending(
        self, arrow: Arrow, paper: float, right: float = 0.0, up: float = 0.0
    ) -> tuple[float, float]:
        """The most that the shaft's swinging can add to a tear either way, (right, up) m, ≥ 0.

        Point and tail pass the paper at other moments of the swing, which nobody knows: the bound
        is the sum of both amplitudes after the swing has died down on the way.
        """
        launch = self.launch(arrow, right, up)
        run = max(paper + self.bow.brace_height - arrow.total_length, 0.0)
        decay = math.exp(
            -2.0 * math.pi * launch.bend_frequency * launch.bend_damping * run / launch.speed
        )
        both = decay * (1.0 + launch.bend_point_share)
        return launch.bend_right * both, launch.bend_up * both


def arrows_of(parts: ArrowParts) -> tuple[Arrow, Arrow, Arrow | None]:
    """The fletched arrow, its bare shaft, and it with its broadhead where it has one.

    Without vanes the first two are the same. Raises InputProblem for parts that cannot be.
    """
    fletched = assemble(parts)
    if parts.vanes is None:
        return fletched, fletched, None
    headed = None if parts.broadhead is None else with_broadhead(fletched)
    return fletched, bare(fletched), headed


def assemble_rig(
    bow: Bow,
    parts: ArrowParts,
    conditions: Conditions,
    sight: Sight,
    *,
    override: LaunchOverride | None = None,
    cant: float = 0.0,
    experience: Experience | None = None,
    left_open: tuple[str, ...] = (),
    odd: tuple[str, ...] = (),
) -> Rig:
    """Put bow, arrows and sight together and sight the fletched arrow in.

    The sight is set with the bow as it is (its launch errors included), on level ground, in still
    air of the same kind, the bow held upright. Wind, slope and cant then act on the shot. Without
    a sight-in distance the aim is along the bore line and impacts are measured from it.

    Raises InputProblem where the parts, the speed or the sight-in cannot be.
    """
    fletched, naked, headed = arrows_of(parts)
    stroke = power_stroke(bow, fletched)
    given = override or LaunchOverride()
    aim = Aim()
    if sight.sight_in is not None:
        aim = sight_in(
            fletched,
            given.apply(release(bow, stroke, fletched)),
            replace(conditions, wind=Wind(), slope=0.0),
            sight.sight_in,
            sight.height_above_arrow,
            bow.brace_height,
        )
    aim = replace(aim, cant=cant)
    return Rig(
        bow,
        fletched,
        naked,
        stroke,
        conditions,
        sight,
        given,
        aim,
        headed,
        experience or Experience(),
        left_open,
        odd,
    )


def vary(rig: Rig, values: Mapping[str, float]) -> Rig:
    """The same rig with some of its seldom-measured numbers changed, sighted in anew.

    Args:
        rig: the nominal one.
        values: SI, by the keys of :data:`vireton.uncertain.inputs.INPUTS`.
    """
    pieces = changed(rig.pieces, values)
    return assemble_rig(
        pieces.bow,
        pieces.parts,
        replace(
            rig.conditions,
            coefficients=pieces.factors,
            air=rig.conditions.air.denser(pieces.density),
        ),
        rig.sight.higher(pieces.sight_higher),
        override=rig.override,
        cant=rig.aim.cant,
        experience=rig.experience,
        left_open=rig.left_open,
        odd=rig.odd,
    )
