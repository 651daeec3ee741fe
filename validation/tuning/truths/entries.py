"""What goes wrong between bench and log, around any truth."""

from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from protocol import AT, HERE, ArrowKind, Story, Truth, Vector, View

Make = Callable[[Path, int], Truth]


class Around(Truth):
    """The truth inside, unchanged."""

    def __init__(self, inside: Truth, random: np.random.Generator) -> None:
        self.inside, self.random = inside, random
        self.contact = inside.contact
        self.mistakes: list[tuple[Story, int]] = []

    def shoot(self, arrow: ArrowKind, setting: Vector, distance: float) -> Vector:
        """Of the truth inside."""
        return self.inside.shoot(arrow, setting, distance)

    def tear(self, arrow: ArrowKind, setting: Vector, paper: float) -> Vector:
        """Of the truth inside."""
        return self.inside.tear(arrow, setting, paper)

    def film(
        self, arrow: ArrowKind, setting: Vector, view: View, error: float
    ) -> list[list[float]] | None:
        """Of the truth inside."""
        return self.inside.film(arrow, setting, view, error)

    def separation(self, setting: Vector, distance: float = AT) -> Vector:
        """Of the truth inside."""
        return self.inside.separation(setting, distance)

    def clean(self, distance: float = AT) -> Vector:
        """Of the truth inside."""
        return self.inside.clean(distance)

    def rates(self, setting: Vector) -> Vector | None:
        """Of the truth inside."""
        return self.inside.rates(setting)

    def carried_out(self, asked: Vector, number: int) -> Vector:
        """Of the truth inside."""
        return self.inside.carried_out(asked, number)

    def written(self, seen: Vector, number: int) -> Vector:
        """Of the truth inside."""
        return self.inside.written(seen, number)

    def happened(self) -> Sequence[tuple[Story, int]]:
        """Its own mistakes, and those of the truth inside."""
        return [*self.inside.happened(), *self.mistakes]


class Reversed(Around):
    """One of the first three moves goes the other way than the log says."""

    def __init__(self, inside: Truth, random: np.random.Generator) -> None:
        super().__init__(inside, random)
        self.which = int(random.integers(2, 5))

    def carried_out(self, asked: Vector, number: int) -> Vector:
        """The way back, once."""
        if number != self.which:
            return super().carried_out(asked, number)
        self.mistakes.append(("reversed", number))
        return Vector(-asked.right, -asked.up)


class Slipping(Around):
    """After three moves in ten the rest is back where it was before."""

    CHANCE = 0.3

    def carried_out(self, asked: Vector, number: int) -> Vector:
        """The move, or none."""
        if self.random.random() >= self.CHANCE:
            return super().carried_out(asked, number)
        self.mistakes.append(("slipped", number))
        return HERE


class Swapped(Around):
    """In one of the first four rounds left is typed for right, in all that is typed."""

    def __init__(self, inside: Truth, random: np.random.Generator) -> None:
        super().__init__(inside, random)
        self.which = int(random.integers(1, 5))

    def written(self, seen: Vector, number: int) -> Vector:
        """The other side in that round."""
        if number != self.which:
            return super().written(seen, number)
        if ("swapped", number) not in self.mistakes:
            self.mistakes.append(("swapped", number))
        return Vector(-seen.right, seen.up)


class Decimal(Around):
    """One entry of the first four rounds is typed ten times too large."""

    def __init__(self, inside: Truth, random: np.random.Generator) -> None:
        super().__init__(inside, random)
        self.which = int(random.integers(1, 5))

    def written(self, seen: Vector, number: int) -> Vector:
        """Ten times the first entry of that round."""
        if number != self.which or self.mistakes:
            return super().written(seen, number)
        self.mistakes.append(("decimal", number))
        return Vector(10.0 * seen.right, 10.0 * seen.up)


def around(kind: type[Around], inside: Make, salt: int) -> Make:
    """A maker of that mistake around another maker's truths."""

    def make(setup_path: Path, seed: int) -> Truth:
        return kind(inside(setup_path, seed), np.random.default_rng([seed, salt]))

    return make
