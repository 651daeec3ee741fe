"""A mistake of typing is corrected; a bad change is put back on the bow: two different things.

Both append a round. A correction amends what an earlier one says, and speaks of no move; the old
entry stays in the file and counts no longer. Putting back is a change of the bow, whose evidence
counts.
"""

from dataclasses import fields, replace
from pathlib import Path
from typing import Any

from vireton.bow.setting import AT_START, BowSetting
from vireton.job.building import same_entry
from vireton.job.errors import LOG_FILE
from vireton.job.read import TuningLog, read_log
from vireton.job.write import NewRound, append, append_round, entries, next_number, setting_table
from vireton.tuning.changes import Change
from vireton.tuning.changes_typed import change_table
from vireton.tuning.observations import Observation
from vireton.tuning.rounds import Round
from vireton.units.spelling import spelled, tidy
from vireton.units.text import UnitSystem


def withdraw_last(
    path: Path | str, date: str = "", units: UnitSystem = "us", entry: str = ""
) -> Round:
    """Correct the last round that still counts by withdrawing it: it was not so.

    What was recorded before it then stands again. Called again it withdraws the round before, but
    for a call with the same id ``entry``.
    Raises LogError as :func:`~vireton.job.write.append_round`, and where no round is left.
    """

    def make(log: TuningLog) -> dict[str, Any]:
        counting = log.rounds.counting
        if not counting:
            raise LOG_FILE.refused(path, "there is no round left to take back")
        setting = counting[-2].setting if len(counting) > 1 else AT_START
        table = setting_table(next_number(log), setting, log.setting, units, date)
        return table | {"undoes": counting[-1].number}

    return append(Path(path), make, entry)


def correct(
    path: Path | str,
    number: int,
    right: NewRound,
    units: UnitSystem = "us",
) -> Round:
    """Amend round ``number``: entries of ``right`` take the place of those that were typed wrong.

    Args:
        path: a job.
        number: of a round that counts.
        right: what should have been typed: tears and groups of an arrow, walk-back points, changes,
            findings, all of one kind and arrow together; ``move`` and ``stands`` of rest or nock
            as that round should have moved them, axis by axis; a note.
        units: whose spelling the new lines prefer.

    Raises LogError, and leaves the file untouched, where the round has no such entry.
    """

    def make(log: TuningLog) -> dict[str, Any]:
        wrong = _round_of(log, number, path)
        _check_fits(wrong, right, path)
        table: dict[str, Any] = {"number": next_number(log), "corrects": number}
        if right.date:
            table["date"] = right.date
        for name, value in _meant(log, wrong, right).items():
            table[name] = spelled(value, "bench", units)
        if right.note:
            table["note"] = right.note
        if right.changes:
            table["change"] = [change_table(one, units) for one in right.changes]
        return table | entries(right.observations, units)

    append(Path(path), make, right.entry)
    return _round_of(read_log(path), number, path)


def _round_of(log: TuningLog, number: int, path: Path | str) -> Round:
    for one in log.rounds.counting:
        if one.number == number:
            return one
    counting = ", ".join(str(one.number) for one in log.rounds.counting) or "none"
    raise LOG_FILE.refused(path, f"there is no round {number} that counts; these do: {counting}")


def _meant(log: TuningLog, wrong: Round, right: NewRound) -> dict[str, float]:
    """Where what was moved wrong should have stood in that round, by its field."""
    counting = log.rounds.counting
    at = [one.number for one in counting].index(wrong.number)
    before = counting[at - 1].setting if at else AT_START
    said = {
        one.name: tidy(getattr(before, one.name) + getattr(right.move, one.name))
        for one in fields(BowSetting)
        if getattr(right.move, one.name)
    }
    return said | dict(right.stands)


def _check_fits(wrong: Round, right: NewRound, path: Path | str) -> None:
    have: list[Observation | Change] = [*wrong.observations, *wrong.changes]
    given: list[Observation | Change] = [*right.observations, *right.changes]
    for one in given:
        old = [entry for entry in have if same_entry(entry) == same_entry(one)]
        new = [entry for entry in given if same_entry(entry) == same_entry(one)]
        if not old:
            there = "; ".join(entry.words("us") for entry in have) or "nothing"
            raise LOG_FILE.refused(
                path,
                f"round {wrong.number} has no such entry to correct ({one.words('us')}); it has: "
                f"{there}. What is new goes into a round of its own",
            )
        if len(old) != len(new):
            raise LOG_FILE.refused(
                path,
                f"round {wrong.number} has {len(old)} of these: give all of them as they should "
                f"be ({'; '.join(entry.words('us') for entry in old)})",
            )


def put_back(
    path: Path | str, new: NewRound | None = None, units: UnitSystem = "us"
) -> tuple[Round, Round]:
    """Put the last change back on the bow: a new round, whose evidence counts.

    Args:
        path: a job.
        new: what is recorded in that round beside it, such as its date.
        units: whose spelling the new lines prefer.

    Returns:
        The new round, and the one whose change it puts back.

    Raises LogError where there is no change to put back, or it is none that can be.
    """
    log = read_log(path)
    last, before = last_change(log, path)
    stuck = [one.kind.words for one in last.changes if not one.kind.is_undone]
    if stuck:
        raise LOG_FILE.refused(
            path,
            f"round {last.number}: {' and '.join(stuck)}: that cannot be put back. Record what "
            "holds now with --changed",
        )
    move = last.setting.move_to(before)
    round_ = replace(
        new or NewRound(),
        move=BowSetting(*(tidy(getattr(move, one.name)) for one in fields(move))),
        changes=tuple(one.back() for one in last.changes),
        refers=("puts_back", last.number),
    )
    return append_round(path, round_, units), last


def last_change(log: TuningLog, path: Path | str) -> tuple[Round, BowSetting]:
    """The last round that changed the bow and was not put back; the setting before it.

    Raises LogError where there is none.
    """
    counting = log.rounds.counting
    done = {one.puts_back for one in counting}
    before = AT_START
    found: tuple[Round, BowSetting] | None = None
    for one in counting:
        changed = one.setting != before or one.changes
        if changed and one.puts_back is None and one.number not in done:
            found = one, before
        before = one.setting
    if found is None:
        raise LOG_FILE.refused(path, "nothing was changed yet that can be put back")
    return found
