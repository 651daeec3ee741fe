"""What was not measured: the table of uncertain inputs, and how far answers differ for them.

``inputs`` is the table, one ``row`` an input: its key, its words, its plausible range, and what it
changes. To it belong the rows of ``left_open`` (what the setup file leaves open) and those of
``of_readings`` (what it gives as read at a bench). ``measurements`` is the table of what a bench
can measure, ``bench_readings`` what each tells of an input, ``narrowing`` what that leaves of the
ranges. ``draws`` spreads values over the ranges, and reads bands and deciders (which inputs make a
band) off the answers. ``experience`` is what the trade knows of plausible bows; ``weights`` weighs
the draws by it.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from vireton.uncertain.draws import (
        BAND_SHARE,
        DEFAULT_DRAWS,
        DEFAULT_SEED,
        Banded,
        band,
        latin_hypercube,
        quantiles,
        variance_shares,
    )

__all__ = [
    "BAND_SHARE",
    "DEFAULT_DRAWS",
    "DEFAULT_SEED",
    "Banded",
    "band",
    "latin_hypercube",
    "quantiles",
    "variance_shares",
]


if not TYPE_CHECKING:  # a setup file is read with the table, and without the draws' numpy

    def __getattr__(name: str) -> Any:
        if name not in __all__:
            raise AttributeError(f"module 'vireton.uncertain' has no attribute {name!r}")
        return getattr(import_module("vireton.uncertain.draws"), name)
