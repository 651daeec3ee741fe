"""What questions about a tuning log share: the log, and the bow that it is of."""

from functools import cached_property
from typing import TYPE_CHECKING, Any

from vireton.answers.kinds import LogSource
from vireton.answers.question import Question

if TYPE_CHECKING:
    from vireton.rig import Rig
    from vireton.setup import Setup

#: The field of the log, see :func:`vireton.answers.question.asked`.
LOG = (LogSource(), None, "Job file written by `vireton record`.")


class OneLog(Question):
    """A question about a tuning log. The bow is the setup file that the log names."""

    log: Any

    @cached_property
    def setup(self) -> "Setup":
        """That of the bow as it is now. Raises InputProblem where its file cannot be used."""
        return self.setup_of(self.log.version)

    def setup_of(self, version: int) -> "Setup":
        """That of the bow as it was in rounds of this version."""
        from vireton.job import setup_of

        return setup_of(self.log, version)

    @cached_property
    def rig(self) -> "Rig":
        """The bow as it is now."""
        return self.rig_of(self.log.version)

    def rig_of(self, version: int) -> "Rig":
        """The bow as it was in rounds of this version, as logs are shot: level, in still air."""
        from vireton.flight.flight import Conditions
        from vireton.rig import assemble_rig

        setup = self.setup if version == self.log.version else self.setup_of(version)
        conditions = Conditions(setup.air, drag_coefficient=setup.drag_coefficient)
        return assemble_rig(
            setup.bow,
            setup.parts,
            conditions,
            setup.sight,
            experience=setup.experience,
            odd=setup.odd,
        )

    @cached_property
    def edited(self) -> str:
        """Where the setup file is another one than the job keeps: what differs; else nothing."""
        from vireton.job.edits import edit_of

        edit = edit_of(self.log)
        if edit is None or edit.is_first:
            return ""
        return (
            f"The setup file was edited since the last round ({edit.words}): that counts from the "
            "next round on"
        )

    @property
    def rigs(self) -> "dict[str, Rig]":
        """The one."""
        return {"": self.rig}

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """What a look-over did not pass comes before all else."""
        from vireton.job.visits import unsafe_now

        return (*unsafe_now(self.log), *super().warnings)
