"""What things cost at the bench, in arrows shot."""

from dataclasses import dataclass, replace

from vireton.units.numbers import INCH


@dataclass(frozen=True)
class Costs:
    """What things cost, in arrows shot (our choice): the bench sets its own.

    An arrow shot, walked to and pulled is about a minute.

    ``arrow``: one more in the target; ``tear``: one more in paper; ``move``: of the rest;
    ``nock``: of the nocking point; ``inch_left``: what an inch that is left at 20 yd costs whoever
    shoots the bow. Half an inch costs a quarter of it; more than ``most_inches`` cost no more.
    ``film``: one arrow filmed and its marks set; asked for only with a ``phone_on_stand``.
    """

    arrow: float = 1.0
    tear: float = 1.0
    move: float = 1.5
    nock: float = 4.0
    inch_left: float = 150.0
    most_inches: float = 2.0
    film: float = 3.0
    phone_on_stand: bool = False

    def near(self, tolerance: float) -> "Costs":
        """The same where ``tolerance`` m at 20 yd is near enough, instead of half an inch."""
        wider = tolerance / (0.5 * INCH)
        return replace(
            self, inch_left=self.inch_left / wider**2, most_inches=self.most_inches * wider
        )
