"""``rest``: what moving the rest does to fletched and bare arrows at every distance."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any, Self

from vireton.answers import shot
from vireton.answers.answer import Answer
from vireton.answers.arrow import arrow_facts, arrow_json
from vireton.answers.bands import BRACKETS, SIDE_OPEN, tear_words
from vireton.answers.kinds import MOVE, One, Several
from vireton.answers.question import Progress, asked, function_of, in_silence
from vireton.answers.rest_typed import one_way
from vireton.answers.rest_words import AVERAGE, is_still, rest_words, why_words
from vireton.answers.table import Column, Grid, Lines, Part, flat, grid, json_row, shares
from vireton.units.display import FAR, LIKE_YOURS, SMALL, Display
from vireton.units.move_names import move_name
from vireton.units.quantity import Quantity

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from vireton.setup import Setup
    from vireton.studies.rest_moves import RestMove
    from vireton.units.text import UnitSystem

#: Up to this many moves each get their own words and table; more become one table.
_MOVES_IN_FULL = 3


@dataclass(frozen=True)
class MoveRest(shot.OneBow):
    """Show what moving the rest does to fletched and bare arrows at every distance.

    The sight stays as it was before the move. Each move starts from the setup's own rest setting.
    Without a move: one step of this rest up.

    >>> import vireton
    >>> moved = vireton.move_rest(vireton.load(), up="1/32 in", distances="20 yd")
    >>> moved
    <RestMoves of Mill bow: rest up 1/32 in>
    >>> bool(moved[0].separation_change.low[0, 1] > 0.0)  # the bare shaft rises more: sure
    True
    """

    command = "rest"
    function = "move_rest"
    example = "vireton rest examples/mill_bow.toml --up 1/32in"

    setup: "Setup" = asked(*shot.SETUP)
    right: tuple[float, ...] | None = asked(
        Several(MOVE),
        None,
        "Move right, minus: left. One, several ('1/32,1/16 in'), a sweep first:last:step "
        "('-1/16:1/16:1/32 in') or clicks of the rest ('2 clicks').",
        flag="LIST",
    )
    up: tuple[float, ...] | None = asked(
        Several(MOVE), None, "The same up, minus: down. Every pair is run.", flag="LIST"
    )
    left: tuple[float, ...] | None = asked(
        Several(MOVE), None, "The same left, in place of right.", flag="LIST"
    )
    down: tuple[float, ...] | None = asked(
        Several(MOVE), None, "The same down, in place of up.", flag="LIST"
    )
    distances: tuple[float, ...] = asked(*shot.EVERY_TEN, metric=shot.EVERY_TEN_METRIC, flag="LIST")
    paper: float = asked(
        One(Quantity("length", "1 m", "20 m", "6 ft"), bare=False),
        "6 ft",
        "Distance of the tear paper from the grip.",
        flag="DISTANCE",
    )
    sight_in: float | None = asked(*shot.SIGHTED, flag="DISTANCE")
    draws: int = asked(*shot.DRAWN)
    seed: int = asked(*shot.SEEDED)

    @classmethod
    def read(
        cls,
        given: Mapping[str, Any],
        *,
        spelled: Callable[[str], str] = str,
        system: "UnitSystem" = "us",
    ) -> Self:
        """As any question; left and down become right and up."""
        return super().read(one_way(cls, given, spelled), spelled=spelled, system=system).turned()

    def turned(self) -> Self:
        """With a move left or down as one right or up, minus."""

        def back(sizes: tuple[float, ...] | None) -> tuple[float, ...] | None:
            return None if sizes is None else tuple(-one + 0.0 for one in sizes)

        right = back(self.left) if self.left is not None else self.right
        up = back(self.down) if self.down is not None else self.up
        return replace(self, right=right, up=up, left=None, down=None)

    @property
    def changed(self) -> dict[str, Any]:
        """The sight-in."""
        return {"sight_in": self.sight_in}

    @property
    def moves(self) -> list[tuple[float, float]]:
        """Every pair (right, up) m; one step up where neither is given."""
        if self.right is None and self.up is None:
            return [(0.0, self.setup.rest_step)]
        return [(right, up) for right in self.right or (0.0,) for up in self.up or (0.0,)]

    def answer(self, progress: Progress = in_silence) -> "RestMoves":
        """Shoot before and after each move, and each plausible bow for the bands."""
        from vireton.flight.reaching import demand_reached
        from vireton.studies.rest_moves import answer_rest_moves

        moves = answer_rest_moves(
            self.rig,
            self.moves,
            self.distances,
            self.setup.uncertainty,
            paper=self.paper,
            draws=self.draws,
            seed=self.seed,
            progress=lambda rigs: progress(rigs, "shooting"),
        )
        for one in moves:
            demand_reached("an arrow", one.distance, one.separation.nominal)
        return RestMoves(self, moves)


_KINDS = {
    "fletched": "fletched moves",
    "bare": "bare moves",
    "separation": "bare − fletched",
    "separation_before": "bare − fletched before",
}
_AXES = ("right", "up")


@dataclass(frozen=True, repr=False)
class RestMoves(Answer[MoveRest]):
    """What :class:`MoveRest` found: ``moves``, each a
    :class:`~vireton.studies.rest_moves.RestMove`.

    Arrays in SI, (n, 2) (right, up) m with their bands. **Sideways the direction is open** until
    this bow has shown it, whatever the bands hold.
    """

    moves: "list[RestMove]"

    columns = (
        Column("distance", FAR, "at", "from the grip", with_unit=True),
        *(
            Column(
                f"{kind}_{side}", SMALL, f"{title} {side},", band="range", open_side=side == "right"
            )
            for kind, title in _KINDS.items()
            for side in _AXES
        ),
    )
    #: What is told once of each move.
    of_move = (
        Column("right", SMALL, words="rest moved right"),
        Column("up", SMALL, words="rest moved up"),
        Column("sideways_direction", words="open until the bow has shown it, or not moved"),
        Column("share_of_draws_bare_right", words="bows like yours that send the bare shaft right"),
        Column(
            "share_of_draws_bare_right_by_the_model",
            words="the same by the launch model alone, without the trade's experience",
        ),
        Column("effective_draws", words="how many equal draws the weighed ones are worth"),
        Column("variance_shares_right", words="what makes the band sideways"),
        Column("variance_shares_up", words="what makes the band up and down"),
        Column("tear_bare_from_bending", SMALL, words="most that bending adds, right and up"),
        Column("rows", rows=columns),
        Column("tear_fletched", SMALL, words="tail minus point hole, right and up", band="range"),
        Column("tear_bare", SMALL, words="tail minus point hole, right and up", band="range"),
    )
    head = (
        Column("draws", words="bows like yours behind the bands"),
        Column("effective_draws", words="equal ones that they are worth, weighed by experience"),
        Column("seed"),
        Column("moves", rows=of_move),
    )
    inner = {"moves": of_move, "moves[].rows": columns}
    rows_key = ""

    def __repr__(self) -> str:
        names = "; ".join(move_name(one.right, one.up) for one in self.moves[:3])
        more = "; …" if len(self.moves) > 3 else ""
        return f"<RestMoves of {self.question.rig.bow.name}: {names}{more}>"

    def __getitem__(self, index: int) -> "RestMove":
        return self.moves[index]

    def facts(self) -> dict[str, Any]:
        """Every move with its rows."""
        moves = [self._facts_of(one) for one in self.moves]
        return {
            "draws": self.moves[0].draws,
            "effective_draws": self.moves[0].effective_draws,
            "seed": self.question.seed,
            "moves": moves,
        }

    def _facts_of(self, one: "RestMove") -> dict[str, Any]:
        return {
            "right": one.right,
            "up": one.up,
            "sideways_direction": _sideways(one),
            "share_of_draws_bare_right": one.share_right,
            "share_of_draws_bare_right_by_the_model": one.share_right_before,
            "effective_draws": one.effective_draws,
            "variance_shares_right": shares(one.deciders_right),
            "variance_shares_up": shares(one.deciders_up),
            "tear_bare_from_bending": one.tear_from_bending,
            "rows": list(_rows(one)),
            "tear_fletched": one.tear_fletched,
            "tear_bare": one.tear_bare,
        }

    def rows(self) -> list[dict[str, Any]]:
        """A table: one row a move and a distance, units in the keys."""
        return [
            {
                **{f"rest_{k}": v for k, v in json_row(self.of_move[:2], vars(one)).items()},
                "sideways_direction": _sideways(one),
                **flat(json_row(self.columns, row)),
            }
            for one in self.moves
            for row in _rows(one)
        ]

    def body(self) -> dict[str, Any]:
        """The arrow."""
        return {"arrow": arrow_json(self.question.rig)}

    def page(self, display: Display) -> list[Part]:
        """Each move in words and tables, or many in one table; then what they are of."""
        from vireton.bow.cautions import SHOOTING_BARE

        found: list[Part] = []
        if len(self.moves) > _MOVES_IN_FULL:
            found.append(self._summary(display))
        else:
            for one in self.moves:
                words = rest_words(one, display, self.question.paper)
                found.append(Lines((move_name(one.right, one.up),), bold=True))
                found.append(Lines(tuple(words)))
                found += self._tables(one, display)
                found.append(Lines(tuple(why_words(one))))
        closing = [*arrow_facts(self.question.rig, display), BRACKETS, AVERAGE, *self.notes]
        if any(one.right for one in self.moves):
            closing.insert(0, SIDE_OPEN)
        return [*found, Lines((*closing, SHOOTING_BARE))]

    def _tables(self, one: "RestMove", display: Display) -> list[Grid]:
        """Up and down, where anything moves; sideways, where the rest was moved to a side."""
        found = []
        for side, title, is_told in (
            ("right", "sideways", one.right != 0.0),
            ("up", "up and down", one.up != 0.0 or one.right == 0.0 or not is_still(one)),
        ):
            wanted = ["distance", *(f"{kind}_{side}" for kind in list(_KINDS)[:3])]
            columns = [replace(c, title=c.title.replace(f" {side},", ","))
                       for c in self.columns if c.key in wanted]  # fmt: skip
            if is_told:
                found.append(
                    grid(f"{title} (plus: {side})", columns, _rows(one), display, is_open=True)
                )
        return found

    def _summary(self, display: Display) -> Grid:
        from vireton.studies.rest_moves import talking_index

        i = talking_index(self.moves[0].distance)
        axes = _AXES if any(one.right for one in self.moves) else ("up",)
        shown = [c for kind in ("fletched", "separation") for side in axes
                 for c in self.columns if c.key == f"{kind}_{side}"]  # fmt: skip
        rows = []
        for one in self.moves:
            tear = tear_words(one.tear_bare, display, sideways_open=one.right != 0.0)
            name = move_name(one.right, one.up).removeprefix("rest ")
            rows.append({"move": name, "tear": tear, **list(_rows(one))[i]})
        at = display.distance(float(self.moves[0].distance[i]))
        columns = [Column("move", title="move"), *shown, Column("tear", title="bare tear")]
        title = f"at {at} (--json has every distance)"
        return grid(title, columns, rows, display, is_open=True, left=(0, len(columns) - 1))

    def figure(self, units: "UnitSystem" = "us") -> "Figure":
        """Shifts of both arrows and their separation against distance."""
        from vireton.answers.shot_words import shot_words
        from vireton.plots import RestCurve, rest_figure, shift_band
        from vireton.units.display import display

        rig, shown = self.question.rig, display(units)
        curves = [
            RestCurve(
                label=shot_words(one.right, one.up, {}, shown, "rest where it is"),
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
            title=f"{rig.bow.name}, {rig.fletched.parts.name}",
            band=LIKE_YOURS,
        )


def _sideways(one: "RestMove") -> str:
    return "open" if one.right else "not moved"


def _rows(one: "RestMove") -> Iterator[dict[str, Any]]:
    for i, distance in enumerate(one.distance):
        yield {
            "distance": distance,
            **{
                f"{kind}_{side}": getattr(one, kind)[i, axis]
                for kind in _KINDS
                for axis, side in enumerate(_AXES)
            },
        }


move_rest = function_of(MoveRest, RestMoves)
