"""The addresses of the bench page."""

import asyncio
import json
import mimetypes
import threading
from dataclasses import asdict, dataclass, field
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import jinja2
from pydantic import BaseModel, ConfigDict, Field, StringConstraints, ValidationError
from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import HTMLResponse, JSONResponse, Response
from starlette.routing import Route

from vireton.units.problems import InputProblem
from vireton_bench import desk
from vireton_bench.entry import Entry, Marked
from vireton_bench.guard import Guard
from vireton_bench.lanes import LaneLostError, Lanes
from vireton_bench.picture import NoSuchPictureError, Pictures, picture_routes
from vireton_bench.printed import KINDS, sheet_of
from vireton_bench.shop import NoSuchJobError, Shop, problem_with, without_folder
from vireton_bench.whatif import Slid, slide
from vireton_bench.words import PLAIN_HTTP, words

if TYPE_CHECKING:
    from vireton.units.text import UnitSystem

#: So many open jobs are made ready before anybody asks for them.
_WARMED = 12


@dataclass
class Bench:
    """What is served: a shop, the lanes that compute for it, and how warm they are."""

    shop: Shop
    lanes: Lanes
    units: "UnitSystem" = "us"
    is_lan: bool = False
    pictures: Pictures = field(default_factory=Pictures)
    warmth: dict[str, Any] = field(default_factory=lambda: {"warm": True, "doing": ""})

    def warm_up(self) -> None:
        """Compile and make the open jobs ready, beside everything else."""
        self.warmth = {"warm": False, "doing": "Getting ready, once: this takes a few seconds"}
        threading.Thread(target=self._warm_up, daemon=True).start()

    def _warm_up(self) -> None:
        try:
            for one in self.lanes.ask_all(desk.warm, None, self.units):
                one.result()
            self.warmth = {"warm": True, "doing": ""}
            for name in [name for name, one in self.shop.jobs() if one.is_open][:_WARMED]:
                path = self.shop.path_of(name)
                self.lanes.ask(name, desk.warm, path, self.units, later=True).result()
        except (LaneLostError, NoSuchJobError, OSError):  # it warms with the first question instead
            self.warmth = {"warm": True, "doing": ""}


_Answer = Annotated[str, StringConstraints(max_length=200)]


class _Answered(BaseModel):
    """An answer to one question of the intake, and those before it."""

    model_config = ConfigDict(extra="forbid", strict=True)

    key: str = Field(max_length=80)
    typed: _Answer
    before: dict[str, _Answer] = Field(default_factory=dict, max_length=40)


class _NewJob(BaseModel):
    """What the sheet for a new job sends."""

    model_config = ConfigDict(extra="forbid", strict=True)

    like: str = Field("", max_length=200)
    bow: str = Field("", max_length=80)
    owner: str = Field("", max_length=80)
    complaint: str = Field("", max_length=500)
    date: str = Field(pattern=r"^[0-9]{4}-[0-9]{2}-[0-9]{2}$")
    numbers: dict[str, _Answer] = Field(default_factory=dict, max_length=40)


class _Film(BaseModel):
    """Marks of a film that are to be read, not yet recorded."""

    model_config = ConfigDict(extra="forbid", strict=True)

    film: Marked


def make_app(bench: Bench, hosts: frozenset[str], secret: str | None = None) -> Guard:
    """The application, guarded."""
    here = files("vireton_bench")
    pages = jinja2.Environment(
        loader=jinja2.PackageLoader("vireton_bench", "pages"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
    )
    # read once: no request ever opens a file of this folder
    static = {
        one.name: one.read_bytes() for one in (here / "static").iterdir() if one.name[0] != "."
    }
    said = {"plain_http": PLAIN_HTTP if bench.is_lan else "", "words": words(bench.units)}
    page = pages.get_template("bench.html").render(**said)
    unpaired = pages.get_template("unpaired.html").render(**said)
    taught = json.dumps(said["words"])

    async def shell(_: Request) -> Response:
        return HTMLResponse(page)

    async def file(request: Request) -> Response:
        name = request.path_params["name"]
        if name not in static:
            return _problem(404, "There is no such file.")
        kind = mimetypes.guess_type(name)[0] or "application/octet-stream"
        kind = {"text/plain": "text/plain", "application/javascript": "text/javascript"}.get(
            kind, kind
        )
        return Response(static[name], media_type=kind, headers={"cache-control": "no-cache"})

    async def teach(_: Request) -> Response:
        return Response(taught, media_type="application/json")

    async def state(_: Request) -> Response:
        return JSONResponse(bench.warmth)

    async def jobs(_: Request) -> Response:
        listed = await run_in_threadpool(bench.shop.jobs)
        told = [{"name": name, **asdict(one)} for name, one in listed]
        return JSONResponse({"jobs": told, "state": bench.warmth})

    async def setups(_: Request) -> Response:
        found = await run_in_threadpool(bench.shop.setups)
        return JSONResponse({"setups": list(found)})

    async def begin(request: Request) -> Response:
        try:
            new = _NewJob.model_validate_json(await request.body())
            paper = new.model_dump(exclude={"numbers", "like"})
            name = await run_in_threadpool(bench.shop.begin, paper, new.numbers, new.like)
        except ValidationError:
            return _problem(400, "That is no new job.")
        except InputProblem as problem:
            said = without_folder(problem, bench.shop.folder)
            return JSONResponse({"refused": said}, 422)
        bench.lanes.ask(name, desk.warm, bench.shop.path_of(name), bench.units, later=True)
        return JSONResponse({"name": name}, 201)

    async def intake(request: Request) -> Response:
        try:
            one = _Answered.model_validate_json(await request.body())
            found = await run_in_threadpool(problem_with, one.key, one.typed, one.before)
        except ValidationError:
            return _problem(400, "That is no answer.")
        return JSONResponse({"problem": found})

    async def job(request: Request) -> Response:
        path, version = _found(request)
        if request.query_params.get("have") == version:
            return JSONResponse({"version": version, "same": True})
        look = await run_in_threadpool(desk.look, path, bench.units)
        return JSONResponse({"version": version, "state": bench.warmth, **look})

    async def advice(request: Request) -> Response:
        path, version = _found(request)
        found = await _asked(request, desk.advise, path, version, bench.units)
        return JSONResponse({"version": version, "advice": found})

    async def enter(request: Request) -> Response:
        path, _ = _found(request)
        try:
            entry = Entry.model_validate_json(await request.body())
        except ValidationError:
            return _problem(400, "That is no entry of a job.")
        found = await _asked(request, desk.take, path, entry, bench.units)
        if "taken" not in found or "brief" in request.query_params:
            return JSONResponse(found)
        version = Shop.version(path)
        look, advised = await asyncio.gather(
            run_in_threadpool(desk.look, path, bench.units),
            _asked(request, desk.advise, path, version, bench.units),
        )
        return JSONResponse({**found, "version": version, **look, "advice": advised})

    async def read_film(request: Request) -> Response:
        path, _ = _found(request)
        try:
            marked = _Film.model_validate_json(await request.body()).film
        except ValidationError:
            return _problem(400, "Those are no marks of a film.")
        return JSONResponse(await _asked(request, desk.read_marked, path, marked))

    async def end(request: Request) -> Response:
        path, _ = _found(request)
        return JSONResponse(await _asked(request, desk.end, path, bench.units))

    async def sheet(request: Request) -> Response:
        path, _ = _found(request)
        kind = request.path_params["kind"]
        if kind not in KINDS:
            return _problem(404, "There is nothing at this address.")
        html, policy = await _asked(request, sheet_of, path, kind, bench.units)
        return HTMLResponse(html, headers={"content-security-policy": policy})

    async def what_if(request: Request) -> Response:
        path, version = _found(request)
        try:
            asked = {key: int(one) for key, one in request.query_params.items()}
            at = Slid(**asked)
        except (ValueError, TypeError):
            return _problem(400, "That is outside of what the sliders reach.")
        return JSONResponse(await _asked(request, slide, path, version, at, bench.units))

    def _found(request: Request) -> tuple[Path, str]:
        path = bench.shop.path_of(request.path_params["name"])
        return path, Shop.version(path)

    async def _asked(request: Request, call: Any, *given: Any) -> Any:
        name = request.path_params["name"]
        if bench.lanes.count:
            return await asyncio.wrap_future(bench.lanes.ask(name, call, *given))
        return await run_in_threadpool(lambda: bench.lanes.ask(name, call, *given).result())

    app = Starlette(
        routes=[
            Route("/", shell),
            Route("/static/{name}", file),
            Route("/api/words", teach),
            Route("/api/state", state),
            Route("/api/setups", setups),
            Route("/api/intake", intake, methods=["POST"]),
            Route("/api/jobs", jobs),
            Route("/api/jobs", begin, methods=["POST"]),
            Route("/api/jobs/{name}", job),
            Route("/api/jobs/{name}/advice", advice),
            Route("/api/jobs/{name}/entries", enter, methods=["POST"]),
            Route("/api/jobs/{name}/film", read_film, methods=["POST"]),
            Route("/api/jobs/{name}/end", end),
            Route("/jobs/{name}/{kind}", sheet),
            Route("/api/jobs/{name}/what-if", what_if),
            *picture_routes(bench.pictures, bench.units),
        ],
        exception_handlers={
            NoSuchJobError: lambda _, e: _problem(404, "There is no such job in this folder."),
            LaneLostError: lambda _, e: _problem(
                503, "The bench had to start over; send it again."
            ),
            NoSuchPictureError: lambda _, e: _problem(404, str(e)),
            FileNotFoundError: lambda _, e: _problem(404, "That job's file is gone."),
            404: lambda _, e: _problem(404, "There is nothing at this address."),
        },
    )
    return Guard(app, hosts, secret, unpaired)


def _problem(status: int, said: str) -> Response:
    return JSONResponse({"problem": said}, status)
