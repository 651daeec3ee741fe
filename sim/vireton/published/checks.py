"""Published values against ours: read the cases, rerun them, give each a verdict.

A case is a folder with two files: ``case.toml``, the values as published with the limit that was
reasoned *before* the run, and ``reproduce.py``, which works them out with the library's public API:
``reproduce()`` returns a number for each check's ``id``; ``figures()``, where there is one, returns
matplotlib figures by name.
"""

import tomllib
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from types import ModuleType
from typing import Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from vireton.bow.arrow import Arrow, assemble
from vireton.bow.parts import ArrowParts, Nock, Point, Shaft, Vanes
from vireton.units.problems import InputProblem

Verdict = Literal["agrees", "FAILS", "fails as known", "agrees, though marked as failing"]


class CheckData(BaseModel):
    """One published number.

    ``limit`` is symmetric and in the same unit: the published uncertainty, half the last printed
    digit, or one that is reasoned in ``why_limit``. ``fails_because`` marks a gap that is known.
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    id: str
    quantity: str
    published: float = Field(allow_inf_nan=False)
    limit: float = Field(gt=0.0, allow_inf_nan=False)
    unit: str
    how: Literal["read", "derived", "memory"]
    place: str
    why_limit: str
    fails_because: str | None = None


class CaseData(BaseModel):
    """What ``case.toml`` holds. ``source`` is a key of ``SOURCES.md``."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    title: str
    source: str
    group: str
    assumed: str = ""
    check: list[CheckData] = Field(min_length=1)
    data: dict[str, Any] = Field(default_factory=dict)


@dataclass(frozen=True)
class Case:
    """One folder of ``validation/``."""

    folder: Path
    data: CaseData
    script: ModuleType


@dataclass(frozen=True)
class Result:
    """One check after the run. Numbers in the check's own unit."""

    case: str
    source: str
    group: str
    check: CheckData
    ours: float

    @property
    def difference(self) -> float:
        """Ours minus published."""
        return self.ours - self.check.published

    @property
    def verdict(self) -> Verdict:
        """Inside the limit or not, and whether that was expected. nan is outside."""
        inside = abs(self.difference) <= self.check.limit
        if self.check.fails_because is None:
            return "agrees" if inside else "FAILS"
        return "agrees, though marked as failing" if inside else "fails as known"

    @property
    def is_expected(self) -> bool:
        """Neither a new gap nor a closed one that still is marked."""
        return self.verdict in {"agrees", "fails as known"}


def find_cases(folder: Path) -> list[Path]:
    """Case folders below ``folder``, by name. Raises InputProblem where there is none."""
    found = sorted(path.parent for path in folder.glob("*/case.toml"))
    if not found:
        raise InputProblem(
            f"{folder} holds no validation cases (folders with a case.toml). They lie in the "
            "folder validation/ of a clone: run there, or name that folder"
        )
    return found


def load_case(folder: Path) -> Case:
    """Read one case. Raises InputProblem for a case file that is not as it should be."""
    path = folder / "case.toml"
    try:
        data = CaseData.model_validate(tomllib.loads(path.read_text(encoding="utf-8")))
    except (tomllib.TOMLDecodeError, ValidationError, UnicodeDecodeError) as error:
        first = str(error).splitlines()
        raise InputProblem(f"{path}: {' '.join(line.strip() for line in first[:3])}") from error
    names = [check.id for check in data.check]
    if len(set(names)) != len(names):
        raise InputProblem(f"{path}: two checks have the same id")
    return Case(folder, data, _load_script(folder / "reproduce.py"))


def _load_script(path: Path) -> ModuleType:
    if not path.is_file():
        raise InputProblem(f"{path} is missing: each case needs its script")
    module = ModuleType(f"vireton_validation_{path.parent.name}")
    module.__file__ = str(path)
    # from its text, always: kept bytecode goes by the second and the size, and so may be another's
    code = compile(path.read_text(encoding="utf-8"), str(path), "exec")
    exec(code, vars(module))
    return module


def run_case(case: Case) -> list[Result]:
    """Work the case out anew.

    Raises InputProblem where script and data do not name the same checks.
    """
    ours: dict[str, float] = case.script.reproduce(case.data)
    wanted = {check.id for check in case.data.check}
    if set(ours) != wanted:
        odd = ", ".join(sorted(set(ours) ^ wanted))
        raise InputProblem(f"{case.folder}: only one of case.toml and reproduce.py has: {odd}")
    return [
        Result(case.data.title, case.data.source, case.data.group, check, float(ours[check.id]))
        for check in case.data.check
    ]


def assumed_arrow(given: dict[str, Any], *, vanes: str = "vanes", **point: Any) -> Arrow:
    """The arrow that a case assumes where its source does not give one.

    Args:
        given: the case's data with the tables ``arrow``, ``nock``, ``shaft``, ``point`` and the
            one named by ``vanes``, each as its part in :mod:`vireton.bow.parts` takes it, SI.
        vanes: table of the vanes.
        point: what the table of the point leaves open, such as its shape.
    """
    return assemble(
        ArrowParts(
            name="assumed",
            nock=Nock(**given["nock"]),
            shaft=Shaft(**given["shaft"]),
            point=Point(**given["point"], **point),
            vanes=Vanes(**given[vanes]),
            **given["arrow"],
        )
    )


def figures_of(case: Case) -> dict[str, Any]:
    """The case's figures by file name (without suffix); none where its script draws nothing."""
    draw: Callable[[CaseData], dict[str, Any]] | None = getattr(case.script, "figures", None)
    return {} if draw is None else draw(case.data)


def digits_of_limit(limit: float) -> int:
    """Decimals at which a number should be shown; none for a limit of 10 and more.

    A limit that begins with 3 or more has one digit there, one that begins with 1 or 2 has two: it
    is 3 to 30 steps of the last digit.
    """
    exact = Decimal(repr(limit))
    digits = 2 if exact.as_tuple().digits[0] < 3 else 1
    return max(0, digits - 1 - exact.adjusted())
