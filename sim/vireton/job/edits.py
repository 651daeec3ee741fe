"""A setup file that was edited since the job kept it: what it means for the rounds."""

from dataclasses import dataclass, replace
from pathlib import Path

from vireton.files.toml import plain_lines
from vireton.job.format import SetupIs
from vireton.job.read import TuningLog, read_log
from vireton.job.setups import NOTHING, changes_of, edited, speaks_of_bow, without_comments
from vireton.job.write import NewRound
from vireton.setup import SetupError, parse_setup
from vireton.setup.load import setup_file_text
from vireton.uncertain.measurements import MEASUREMENTS

#: Keys of bow and arrow that hold a measurement.
_READINGS = frozenset(row.place for row in MEASUREMENTS if row.place)
#: Of so many keys that differ the words are told.
_TOLD = 3


@dataclass(frozen=True)
class Edit:
    """The setup file's ``text`` as it is now, and the keys that differ: what they were, what are.

    ``is_first``: the job keeps none yet. ``odd``: what its measurements contradict.
    """

    text: str
    differs: tuple[tuple[str, str, str], ...]
    is_first: bool = False
    odd: tuple[str, ...] = ()

    @property
    def of_bow(self) -> list[str]:
        """Keys that say how the bow shoots; to measure it anew changes nothing of it."""
        return speaks_of_bow(
            [key for key, was, _ in self.differs if not (key in _READINGS and was == NOTHING)]
        )

    @property
    def is_measured_only(self) -> bool:
        """Whether measurements were typed in, and nothing else."""
        return all(
            key.startswith("measured.") or (key in _READINGS and was == NOTHING)
            for key, was, _ in self.differs
        )

    @property
    def words(self) -> str:
        """``"bow.draw_weight 60 lbf → 58 lbf"``."""
        told = [f"{key} {was} → {now}" for key, was, now in self.differs[:_TOLD]]
        more = len(self.differs) - len(told)
        return ", ".join([*told, *([f"and {more} more"] if more else [])])


def edit_of(job: TuningLog | Path | str) -> Edit | None:
    """How the setup file of a job differs from what the job keeps; None where it does not.

    A file that is gone or cannot be used is no edit: the job has its numbers.
    """
    log = job if isinstance(job, TuningLog) else read_log(job)
    kept = log.versions[log.version].text
    try:
        text = without_comments(plain_lines(setup_file_text(log.setup_path)))
        if text == kept:  # every round asks: the file is checked only where it is another one
            return None
        odd = parse_setup(text, log.setup_path).odd
    except SetupError:
        return None
    if kept is None:
        return Edit(text, (), is_first=True)
    differs = tuple(edited(log, text))
    return Edit(text, differs, odd=odd) if differs else None


def with_edit(new: NewRound, edit: Edit, why: SetupIs) -> tuple[NewRound, str]:
    """The round that takes the file's numbers in, and what to say of it."""
    if edit.is_first:
        return replace(new, setup=(edit.text, "")), ""
    if why == "changed" and edit.is_measured_only:
        why = "corrected"  # the bow is the one that it was
    kept = replace(new, setup=(edit.text, why))
    if why == "corrected":
        told = f"All rounds are read with the setup file as it is now: {edit.words}"
        return kept, "; ".join([told, *edit.odd])
    said = {one.what for one in new.changes}
    changes = tuple(one for one in changes_of(edit.of_bow) if one.what not in said)
    return (
        replace(kept, changes=(*new.changes, *changes)),
        f"From this round on the setup file's new numbers hold: {edit.words}; earlier rounds keep "
        "theirs",
    )
