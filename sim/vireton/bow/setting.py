"""Where the parts of a bow that a tuner moves stand."""

from dataclasses import dataclass, fields


@dataclass(frozen=True)
class BowSetting:
    """Where rest and nocking point stand, or a move of them: m from where a log or rig begins.

    ``rest_right``, ``rest_up``: the archer's right and up. ``nock_height``: the nocking point up on
    the string.
    """

    rest_right: float = 0.0
    rest_up: float = 0.0
    nock_height: float = 0.0

    def moved(self, by: "BowSetting") -> "BowSetting":
        """The setting after a move."""
        return BowSetting(
            *(getattr(self, one.name) + getattr(by, one.name) for one in fields(self))
        )

    def move_to(self, other: "BowSetting") -> "BowSetting":
        """The move that leads from this setting to the other."""
        return BowSetting(
            *(getattr(other, one.name) - getattr(self, one.name) for one in fields(self))
        )

    @property
    def rest(self) -> tuple[float, float]:
        """Rest right and up, m."""
        return self.rest_right, self.rest_up


#: Nothing moved yet.
AT_START = BowSetting()
