"""Strategies to tune with. ``STRATEGIES`` by name: a class without arguments."""

from collections.abc import Callable

from protocol import Strategy

from strategies.adviser import Adviser, WithFilms, WithPhone
from strategies.trade import OnPaper, Proportional, Steps, StopAtOnce, Turning

STRATEGIES: dict[str, Callable[[], Strategy]] = {
    "adviser": Adviser,
    "phone": WithPhone,
    "films": WithFilms,
    "at_once": StopAtOnce,
    "steps": Steps,
    "turning": Turning,
    "proportional": Proportional,
    "paper": OnPaper,
}
