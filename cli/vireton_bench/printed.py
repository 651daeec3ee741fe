"""What is printed from a job: the card that goes home with the bow, and the report page."""

from pathlib import Path
from typing import TYPE_CHECKING

from vireton.units.problems import InputProblem
from vireton_bench.shop import without_folder

if TYPE_CHECKING:
    from vireton.units.text import UnitSystem

KINDS = ("card", "report")
#: Beside the page's own policy, which names its style sheet and its script by their hashes.
_ALWAYS = "; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"


def sheet_of(path: Path, kind: str, units: "UnitSystem") -> tuple[str, str]:
    """The page, and what it may do: the header of its policy."""
    from vireton.answers.tune import Tune
    from vireton.report.page import asset, own_assets, page_html, policy
    from vireton.units.display import display

    shown = display(units)
    try:
        question = Tune.read({"log": path, "distances": f"20,40,60 {shown.far}"})
        if kind == "card":
            from vireton.report.card import card_of
            from vireton.report.card_page import card_html

            return card_html(card_of(question, shown)), policy(asset("card.css")) + _ALWAYS
        from vireton.report.log_page import log_page

        return page_html(log_page(question, shown)[0]), policy(*own_assets()) + _ALWAYS
    except InputProblem as problem:
        said = without_folder(problem, path.parent)
        return _told(said), policy(asset("card.css")) + _ALWAYS


def _told(problem: str) -> str:
    """A page that says why there is none."""
    from vireton.report.markup import element
    from vireton.report.page import asset, head_of

    head = head_of("No page", asset("card.css"))
    return "<!doctype html>\n" + element(
        "html", head, element("body", element("main", element("p", problem))), lang="en"
    )
