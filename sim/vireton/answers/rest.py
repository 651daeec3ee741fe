"""Rest moves, from Python."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from vireton.answers import asking
from vireton.answers.arrows import arrow_json
from vireton.answers.asking import Quantities, Quantity
from vireton.answers.pictures import shift_band
from vireton.answers.readying import caution, setup_of, shot_of
from vireton.bow.cautions import cautions
from vireton.flight.reaching import demand_reached
from vireton.rig import Rig
from vireton.setup import Setup
from vireton.studies.rest_moves import RestMove, answer_rest_moves
from vireton.uncertain import DEFAULT_DRAWS, DEFAULT_SEED
from vireton.units.move_names import move_name
from vireton.units.numbers import INCH, YARD, number, pair

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.plots.scales import System


@dataclass(frozen=True, repr=False)
class RestMoves:
    """What :func:`move_rest` found: ``moves``, one :class:`~vireton.studies.rest_moves.RestMove`
    each.

    Arrays (n, 2) hold (right, up) m with their bands. **Sideways the direction is open** until this
    bow has shown it, whatever the bands hold. ``seed`` is that of the draws.
    """

    rig: Rig
    moves: list[RestMove]
    seed: int

    def __repr__(self) -> str:
        names = "; ".join(move_name(one.right, one.up) for one in self.moves[:3])
        more = "; …" if len(self.moves) > 3 else ""
        return f"<RestMoves of {self.rig.bow.name}: {names}{more}>"

    def __getitem__(self, index: int) -> RestMove:
        return self.moves[index]

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a move and a distance, units in the keys."""
        return [
            {
                "rest_right_in": number(one.right / INCH),
                "rest_up_in": number(one.up / INCH),
                "sideways_direction": _sideways(one),
                **row,
            }
            for one in self.moves
            for row in _rows(one)
        ]

    def to_dict(self) -> dict[str, Any]:
        """The same as ``vireton rest --json``."""
        return {
            "schema": 1,
            "warnings": list(cautions(self.rig.bow, *self.rig.arrows)),
            "notes": list(self.rig.notes),
            "draws": self.moves[0].draws,
            "seed": self.seed,
            "arrow": arrow_json(self.rig),
            "moves": [_move_json(one) for one in self.moves],
        }

    def figure(self, units: "System" = "us") -> "Figure":
        """Shifts of both arrows and their separation against distance."""
        from vireton.plots import RestCurve, rest_figure  # noqa: PLC0415

        curves = [
            RestCurve(
                label=move_name(one.right, one.up),
                distance=one.distance,
                fletched=shift_band(one.fletched),
                bare=shift_band(one.bare),
                separation=shift_band(one.separation),
                sideways_open=one.right != 0.0,
            )
            for one in self.moves
        ]
        return rest_figure(
            curves,
            system=units,
            title=f"{self.rig.bow.name}, {self.rig.fletched.parts.name}",
            band=f"5th to 95th percentile of {self.moves[0].draws} plausible bows",
        )


def move_rest(
    setup: Setup | str | Path,
    *,
    right: Quantities | None = None,
    up: Quantities | None = None,
    distances: Quantities = "10:100:10 yd",
    paper: Quantity = "6 ft",
    sight_in: Quantity | None = None,
    draws: int = DEFAULT_DRAWS,
    seed: int = DEFAULT_SEED,
) -> RestMoves:
    """Work out what moving the rest does to fletched and bare arrows at every distance.

    The sight stays as it was before the move; each move starts from the setup's own rest setting.
    Several to the right and several up give every pair; with neither it is one step of this rest
    up.

    Args:
        setup: from :func:`vireton.load`, or its file.
        right: rest moved right, one or several, at most half an inch either way; text, or m.
        up: the same up.
        distances: see :func:`vireton.fly`.
        paper: from the grip to the tear paper, 1 to 20 m.
        sight_in: see :func:`vireton.fly`.
        draws: plausible bows behind the bands, 8 to 10,000.
        seed: of those draws.

    Raises InputProblem for what cannot be used and for a distance that is never reached. Warns with
    a Caution of an arrow too light for the bow.

    >>> import vireton
    >>> moved = vireton.move_rest(vireton.load(), up="1/32 in", distances="20 yd")
    >>> moved
    <RestMoves of Mill bow: rest up 1/32 in>
    >>> move = moved[0]
    >>> print(f"fletched {move.fletched.nominal[0, 1] / 0.0254:.1f} in up")
    fletched 1.1 in up
    >>> bool(move.separation_change.low[0, 1] > 0.0)  # the bare shaft rises more: that is sure
    True
    >>> aside = vireton.move_rest(vireton.load(), right="1/32 in", distances="20 yd", draws=8)
    >>> aside.rows()[0]["sideways_direction"]
    'open'
    """
    setup = setup_of(setup)
    where = asking.distances(distances)
    wanted = [(r, u) for r in asking.moves(right, "right") for u in asking.moves(up, "up")]
    at_paper = asking.one(paper, "length", "paper", "1 m", "20 m", like="6 ft")
    count = asking.draws(draws)
    rig = shot_of(setup, sight_in=sight_in).rig(setup)
    caution(rig)
    if right is None and up is None:
        wanted = [(0.0, setup.rest_step)]
    answers = answer_rest_moves(
        rig, wanted, where, setup.uncertainty, paper=at_paper, draws=count, seed=seed
    )
    demand_all_reached(answers)
    return RestMoves(rig, answers, seed)


def demand_all_reached(moves: Sequence[RestMove]) -> None:
    """Refuse distances that an arrow never reaches. Raises InputProblem."""
    for one in moves:
        demand_reached("an arrow", one.distance, one.separation.nominal)


def _sideways(one: RestMove) -> str:
    return "open" if one.right else "not moved"


def _rows(one: RestMove) -> list[dict[str, Any]]:
    rows = []
    for i, distance in enumerate(one.distance):
        row: dict[str, Any] = {"distance_yd": number(distance / YARD)}
        for name in ("fletched", "bare", "separation", "separation_before"):
            banded = getattr(one, name)
            for axis, side in enumerate(("right", "up")):
                row[f"{name}_{side}_in"] = number(banded.nominal[i, axis] / INCH)
                row[f"{name}_{side}_in_range"] = pair(
                    (banded.low[i, axis], banded.high[i, axis]), INCH
                )
        rows.append(row)
    return rows


def _move_json(one: RestMove) -> dict[str, Any]:
    return {
        "right_in": number(one.right / INCH),
        "up_in": number(one.up / INCH),
        "sideways_direction": _sideways(one),
        "share_of_draws_bare_right": number(one.share_right),
        "variance_shares_right": {k: number(v) for k, v in one.deciders_right.items()},
        "variance_shares_up": {k: number(v) for k, v in one.deciders_up.items()},
        "tear_bare_from_bending_in": pair(one.tear_from_bending, INCH),
        "rows": _rows(one),
        "tear_fletched_in": pair(one.tear_fletched.nominal, INCH),
        "tear_fletched_in_range": [
            pair(one.tear_fletched.low, INCH),
            pair(one.tear_fletched.high, INCH),
        ],
        "tear_bare_in": pair(one.tear_bare.nominal, INCH),
        "tear_bare_in_range": [pair(one.tear_bare.low, INCH), pair(one.tear_bare.high, INCH)],
    }
