"""The page as HTML: one file, no network, complete without its script."""

import base64
import hashlib
import json
from importlib import resources

from vireton.report.content import Page, PastRound
from vireton.report.markup import Markup, element
from vireton.report.said import said
from vireton.report.saving import GENERATOR
from vireton.report.whatif_section import payload, whatif_section

#: Rounds that a printed sheet has room for; the screen shows all.
_PRINTED_ROUNDS = 3


def page_html(page: Page) -> str:
    """The whole page.

    Nothing is fetched and nothing that stands in a log or a setup file can run: the page's own
    policy allows its one script and its one style sheet by their hashes.
    """
    style, script = own_assets()
    head = head_of(f"{page.title}: next move", style, script)
    body = element(
        "body",
        _header(page),
        element(
            "main",
            _advice(page),
            whatif_section(page.whatif),
            section("cautions", "Before you shoot", element("p", page.caution)),
            _back(page),
            _history(page),
        ),
        element("script", _json(page), type="application/json", id="tables"),
        element("script", script),
    )
    return "<!doctype html>\n" + element("html", head, body, lang="en") + "\n"


def own_assets() -> tuple[Markup, Markup]:
    """The page's style sheet and its script."""
    return asset("page.css"), asset("whatif.js")


def head_of(title: str, style: str, script: str = "") -> Markup:
    """The head of a page that fetches nothing and runs its own script alone, if it has one."""
    return element(
        "head",
        element("meta", charset="utf-8"),
        element("meta", name="generator", content=GENERATOR),
        element("meta", name="viewport", content="width=device-width, initial-scale=1"),
        element("meta", http_equiv="Content-Security-Policy", content=policy(style, script)),
        element("title", title),
        element("style", style),
    )


def policy(style: str, script: str = "") -> str:
    """What a page may do: its style sheet and its script are named by their hashes."""
    scripts = f"; script-src '{digest(script)}'" if script else ""
    return f"default-src 'none'; style-src '{digest(style)}'{scripts}"


def asset(name: str) -> Markup:
    """A style sheet or a script that is part of this room."""
    return Markup(resources.files("vireton.report").joinpath(name).read_text(encoding="utf-8"))


def digest(text: str) -> str:
    """Of a style sheet or a script, as a page's policy names it."""
    known = hashlib.sha256(text.encode("utf-8")).digest()
    return f"sha256-{base64.b64encode(known).decode('ascii')}"


def _json(page: Page) -> Markup:
    text = json.dumps(
        payload(page.whatif), ensure_ascii=False, allow_nan=False, separators=(",", ":")
    )
    # a name could hold "</script>": no angle bracket and no ampersand stays one
    for sign in "<>&":
        text = text.replace(sign, f"\\u{ord(sign):04x}")
    return Markup(text)


def _header(page: Page) -> Markup:
    return element(
        "header",
        element("h1", page.title),
        *(element("p", fact, class_="fact") for fact in page.facts),
        *(element("p", said(warning), class_="danger", role="alert") for warning in page.warnings),
    )


def section(name: str, heading: str, *inside: str) -> Markup:
    """A part of a page under its heading."""
    return element(
        "section", element("h2", heading, id=f"{name}-h"), *inside,
        class_=name, aria_labelledby=f"{name}-h",
    )  # fmt: skip


def _sentence(text: str) -> str:
    """With a capital and a full stop."""
    return text[:1].upper() + text[1:] + ("" if text.endswith((".", "`")) else ".")


def _list(lines: tuple[str, ...]) -> Markup:
    return (
        element("ul", *(element("li", said(_sentence(line))) for line in lines))
        if lines
        else Markup("")
    )


def _advice(page: Page) -> Markup:
    advice = page.advice
    return section(
        "next",
        "What to do next",
        element("p", said(advice.call), class_="call"),
        element("p", said(_sentence(advice.why)), class_="why"),
        _list(advice.lines),
        _list(page.notes),
    )


def _back(page: Page) -> Markup:
    return section("back", "The ways back", _list(page.back)) if page.back else Markup("")


def _history(page: Page) -> Markup:
    if not page.history:
        return Markup("")
    older = len(page.history) - _PRINTED_ROUNDS
    rounds = [_round(one, is_older=k < older) for k, one in enumerate(page.history)]
    more = Markup("")
    if older > 0:
        left = f"Not printed: {older} earlier round{'' if older == 1 else 's'}, all in the log."
        more = element("p", left, class_="print-only")
    return section(
        "history",
        "Rounds so far, the last one first",
        element("ol", *reversed(rounds), reversed=True),
        more,
    )


def _round(one: PastRound, *, is_older: bool) -> Markup:
    head = f"Round {one.number}" + (f", {one.date}" if one.date else "")
    taken = () if one.counts else (element("strong", "Withdrawn. "),)
    note = (element("span", f"Note: {one.note}", class_="line note"),) if one.note else ()
    return element(
        "li",
        element("span", element("strong", head), f": {one.what}", class_="line"),
        *taken,
        *(element("span", line, class_="line") for line in one.seen),
        *note,
        class_="older" if is_older else None,
    )
