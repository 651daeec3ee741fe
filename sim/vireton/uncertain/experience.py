"""What the trade knows of plausible bows: how often its rules for the rest hold."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Experience:
    """Shares of plausible bows, 0 to 1, that follow the trade's rules; None leaves the model alone.

    ``sideways``: rest right brings a bare shaft that lands right of the fletched one back left
    (3 in 4: our choice; the rule: common practice, no source). ``up``: rest up brings a bare shaft
    that lands low up; at least this share (practically all: our choice).
    """

    sideways: float | None = 0.75
    up: float | None = 0.98
