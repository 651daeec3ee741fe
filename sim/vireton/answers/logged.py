"""What questions about a tuning log share: the log, and the bow that it is of."""

from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers.kinds import LogSource
from vireton.answers.question import Question

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.setup import Setup

#: The field of the log, see :func:`vireton.answers.question.asked`.
LOG = (LogSource(), None, "Tuning log written by `vireton record`.")


class OneLog(Question):
    """A question about a tuning log. The bow is the setup file that the log names."""

    log: Any

    @cached_property
    def setup(self) -> "Setup":
        """That of the bow. Raises InputProblem where its file cannot be used."""
        from vireton.setup import load_setup

        return load_setup(self.log.setup_path)

    @cached_property
    def rig(self) -> "Rig":
        """The bow as logs are shot with it: level, in still air."""
        from vireton.flight.flight import Conditions
        from vireton.rig import assemble_rig

        setup = self.setup
        conditions = Conditions(setup.air, drag_coefficient=setup.drag_coefficient)
        return assemble_rig(
            setup.bow, setup.parts, conditions, setup.sight, experience=setup.experience
        )

    @property
    def rigs(self) -> "dict[str, Rig]":
        """The one."""
        return {"": self.rig}
