"""Quantities as they are typed: the library's own reading, under the command line's roof."""

from vireton.quantities import lengths, quantities, quantity, wind

__all__ = ["lengths", "quantities", "quantity", "wind"]
