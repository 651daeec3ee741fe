"""What the trade knows of plausible bows: how often its rules for the rest hold."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Experience:
    """Shares of plausible bows, 0 to 1, that follow the trade's rules; None leaves the model alone.

    ``sideways``: rest right brings a bare shaft that lands right of the fletched one back left
    (3 in 4: our choice; the rule: common practice, no source). ``up``: rest up brings a bare shaft
    that lands low up; at least this share (practically all: our choice).

    ``crowd``: what was plausible before this bow was measured, SI by the keys of the uncertain
    inputs; None where it was not. The rules hold over bows that nobody has measured: what a
    measurement tells against them is not weighed away again.
    """

    sideways: float | None = 0.75
    up: float | None = 0.98
    crowd: Mapping[str, tuple[float, float]] | None = None
