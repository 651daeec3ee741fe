"""``vireton report``: one page for the phone at the range and the sheet on the bench."""

import json
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from vireton_cli import options
from vireton_cli.options import UnitChoice
from vireton_cli.shooting import option_name, say_if_first_run, warn

if TYPE_CHECKING:
    from vireton.answers.tune import Tune
    from vireton.report.content import Page
    from vireton.report.setup_page import SetupPage

EXAMPLE = "Example: vireton report examples/mill_log.toml -o mill.html"

_MOST_DISTANCES = 4
_TOLERANCE = "1/2 in"


def report(
    file: Annotated[
        Path, typer.Argument(metavar="LOG|SETUP", help="A tuning log, or a setup file alone.")
    ],
    output: Annotated[
        Path,
        typer.Option(
            "--output", "-o", metavar="PAGE.html", help="The page; an older one is replaced."
        ),
    ],
    distances: Annotated[
        str | None,
        typer.Option(
            "--distances",
            metavar="LIST",
            help="One to four distances; without it 20, 40 and 60, in yd or m by --units.",
        ),
    ] = None,
    tolerance: Annotated[
        str,
        typer.Option("--tolerance", metavar="LENGTH", help="Done inside this at 20 yd (of a log)."),
    ] = _TOLERANCE,
    card: Annotated[
        bool,
        typer.Option(
            "--card", help="Of a job: the card that goes home with the bow, on one sheet."
        ),
    ] = False,
    units: options.Units = UnitChoice.US,
    as_json: options.Json = False,
) -> None:
    """Write one page that needs no network: the next move, where arrows land, what if.

    Of a log: the next move with its probability, what the next group should look like, the rounds
    so far and the way back. Of a setup file: what the model expects. Sliders move the rest and the
    wind. With --card: what was measured, done and left, for the bow's owner. Both read on a phone
    and print on one sheet. A file that is no page of ours is never
    overwritten.
    """
    from vireton.report import check_target, page_html, save_page
    from vireton.units.problems import InputProblem, named

    check_target(output)
    if card:
        _write_card(file, output, distances, tolerance, units, as_json=as_json)
        return
    question = _read(file, distances, tolerance, units)
    if len(set(question.distances)) > _MOST_DISTANCES:
        raise InputProblem(
            f"--distances: {len(set(question.distances))} distances; a page holds one to "
            f"{_MOST_DISTANCES}"
        )
    page, answer = _made(question, units)
    save_page(page_html(page), output)
    if as_json:
        typer.echo(json.dumps({**answer, "page": str(output)}, indent=2, allow_nan=False))
    else:
        typer.echo(f"wrote {named(output)}: {page.advice.call}")


def _write_card(
    file: Path,
    output: Path,
    distances: str | None,
    tolerance: str,
    units: UnitChoice,
    *,
    as_json: bool,
) -> None:
    from dataclasses import asdict

    from vireton.answers.tune import Tune
    from vireton.job import is_job_file
    from vireton.report import save_page
    from vireton.report.card import card_of
    from vireton.report.card_page import card_html
    from vireton.units.display import display
    from vireton.units.problems import InputProblem, named

    if distances is not None or tolerance != _TOLERANCE:
        raise InputProblem(
            "--card: a card has its own distances; leave --distances and --tolerance out"
        )
    if file.exists() and not is_job_file(file):
        raise InputProblem(
            f"--card: {named(file)} is no job. A card is of a job; begin one with vireton record "
            f"JOB --setup {named(file)}"
        )
    question = Tune.read({"log": file}, spelled=option_name)
    say_if_first_run()
    warn(question.warnings)
    card = card_of(question, display(units.value))
    save_page(card_html(card), output)
    if as_json:
        typer.echo(
            json.dumps(
                {"schema": 1, "from": "card", **asdict(card), "page": str(output)},
                indent=2,
                allow_nan=False,
            )
        )
    else:
        typer.echo(f"wrote {named(output)}: {card.bow}, {card.state}")


def _read(
    file: Path, distances: str | None, tolerance: str, units: UnitChoice
) -> "Tune | SetupPage":
    from vireton.answers.tune import Tune
    from vireton.job import is_job_file
    from vireton.report.setup_page import SetupPage

    usual = "20,40,60 yd" if units is UnitChoice.US else "20,40,60 m"
    given = {"distances": usual if distances is None else distances, "tolerance": tolerance}
    if is_job_file(file):
        return Tune.read({"log": file, **given}, spelled=option_name)
    return SetupPage.read({"setup": file, **given}, spelled=option_name)


def _made(question: "Tune | SetupPage", units: UnitChoice) -> "tuple[Page, dict[str, Any]]":
    from vireton.answers.tune import Tune
    from vireton.report.log_page import log_page
    from vireton.report.setup_page import setup_page
    from vireton.units.display import display
    from vireton_cli.tables import with_progress

    say_if_first_run()
    warn(question.warnings)
    if isinstance(question, Tune):
        return log_page(question, display(units.value), with_progress)
    return setup_page(question, display(units.value), with_progress)
