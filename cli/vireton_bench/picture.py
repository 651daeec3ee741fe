"""Pictures of printed sheets: kept for some minutes, straightened in a lane, taps made inches.

Nothing of a picture is written to a disk, and nothing of it is recorded: what is read goes into
the page's sheet, and is recorded from there like any tap.
"""

import asyncio
import math
import multiprocessing
import os
import secrets
import time
from collections import OrderedDict
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from vireton.paper import Corner, Paper
from vireton.units.numbers import INCH
from vireton.units.problems import InputProblem
from vireton.units.text import capital
from vireton_bench.guard import PICTURES
from vireton_bench.lanes import Lanes

if TYPE_CHECKING:
    from vireton.photo import Sheet
    from vireton.units.text import UnitSystem

#: s; pictures of one phone, and of all, at a time (our choice).
KEPT, OF_ONE, OF_ALL = 600.0, 2, 12
#: A picture whose marks are tapped is shown so long, pixels, at most.
_SHOWN = 2400
#: What is stated is twice the standard error, in steps of 1/64 in or 1/2 mm, rounded up.
_STEP = {"us": INCH / 64.0, "metric": 0.0005}

_Pixel = Annotated[float, Field(ge=-10.0, le=20_000.0, allow_inf_nan=False)]
_Place = tuple[_Pixel, _Pixel]
#: Pixels of the image under one of the screen's, where it was tapped.
_Scale = Annotated[float, Field(gt=0.0, le=200.0, allow_inf_nan=False)]


class NoSuchPictureError(Exception):
    """It was let go, or never came."""

    def __init__(self) -> None:
        super().__init__(
            f"The bench has let go of this picture, as it does after {KEPT / 60.0:.0f} minutes or "
            "when newer ones come. Take it again."
        )


class _Find(BaseModel):
    """``taps``: middles of marks, pixels of the image that was shown."""

    model_config = ConfigDict(extra="forbid", strict=True)

    taps: dict[Corner, _Place] = {}
    scale: _Scale = 1.0
    paper: Paper | None = None
    kind: Literal["tear", "shots"]


class _Read(BaseModel):
    """``start`` and ``ends`` are taps on the straightened image: each end is read from there."""

    model_config = ConfigDict(extra="forbid", strict=True)

    start: _Place
    ends: Annotated[list[_Place], Field(min_length=1, max_length=40)]
    scale: _Scale


@dataclass
class Picture:
    """One that was sent: its file, and once it was found the ``sheet`` and what is ``shown``."""

    raw: bytes
    who: str
    came: float
    sheet: "Sheet | None" = None
    shown: bytes = b""
    shrink: float = 1.0  # pixels of the picture in one of the shown image


@dataclass
class Pictures:
    """Those that are kept, by a random id. ``lanes``: processes of their own, begun with the first.

    With 0, for tests, all is done in this process.
    """

    lanes: int = 0
    clock: Callable[[], float] = time.monotonic
    _kept: "OrderedDict[str, Picture]" = field(default_factory=OrderedDict)
    _lanes: Lanes | None = None

    def add(self, raw: bytes, who: str) -> str:
        """Keep it; older ones of this phone, and the oldest of all, make room."""
        self.sweep()
        of_one = [name for name, one in self._kept.items() if one.who == who]
        for name in of_one[: max(len(of_one) - OF_ONE + 1, 0)]:
            del self._kept[name]
        while len(self._kept) >= OF_ALL:
            self._kept.popitem(last=False)
        name = secrets.token_urlsafe(16)
        self._kept[name] = Picture(raw, who, self.clock())
        return name

    def get(self, name: str) -> Picture:
        """Raises NoSuchPictureError."""
        self.sweep()
        if name not in self._kept:
            raise NoSuchPictureError()
        return self._kept[name]

    def drop(self, name: str) -> None:
        """Let go of it."""
        self._kept.pop(name, None)

    def sweep(self) -> None:
        """Let go of those that are too old."""
        for name in [n for n, one in self._kept.items() if self.clock() - one.came > KEPT]:
            del self._kept[name]

    async def ask(self, call: Callable[..., Any], *given: Any) -> Any:
        """``call(*given)`` where it holds up no tap."""
        if self._lanes is None:
            self._lanes = Lanes(self.lanes)
        lanes = self._lanes
        if lanes.count:
            return await asyncio.wrap_future(lanes.ask("", call, *given))
        return await run_in_threadpool(lambda: lanes.ask("", call, *given).result())

    def close(self) -> None:
        """End the process."""
        if self._lanes is not None:
            self._lanes.close()


def picture_routes(pictures: Pictures, units: "UnitSystem") -> list[Route]:
    """The addresses of pictures."""

    async def take(request: Request) -> Response:
        who = request.client.host if request.client else ""
        name = pictures.add(await request.body(), who)
        # so that it goes even if nobody asks for anything any more
        asyncio.get_running_loop().call_later(KEPT + 1.0, pictures.sweep)
        return JSONResponse({"id": name}, 201)

    async def find(request: Request) -> Response:
        name = request.path_params["name"]
        picture = pictures.get(name)
        try:
            asked = _Find.model_validate_json(await request.body())
        except ValidationError:
            return JSONResponse({"problem": "Those are no corners of a sheet."}, 400)
        try:
            found = await pictures.ask(found_in, picture.raw, picture.shrink, asked, units)
        except InputProblem as problem:
            pictures.drop(name)
            return JSONResponse({"refused": _sentence(problem)}, 422)
        picture.sheet = found.pop("sheet")
        picture.shown = found.pop("shown") or picture.shown
        picture.shrink = found.pop("shrink", picture.shrink)
        return JSONResponse(found)

    async def image(request: Request) -> Response:
        picture = pictures.get(request.path_params["name"])
        if not picture.shown:
            raise NoSuchPictureError()
        return Response(picture.shown, media_type="image/jpeg")

    async def read(request: Request) -> Response:
        picture = pictures.get(request.path_params["name"])
        if picture.sheet is None:
            return JSONResponse({"problem": "Its sheet was not found yet."}, 409)
        try:
            asked = _Read.model_validate_json(await request.body())
        except ValidationError:
            return JSONResponse({"problem": "Those are no taps on a sheet."}, 400)
        return JSONResponse(await run_in_threadpool(read_taps, picture.sheet, asked, units))

    return [
        Route(PICTURES, take, methods=["POST"]),
        Route(f"{PICTURES}/{{name}}", find, methods=["POST"]),
        Route(f"{PICTURES}/{{name}}/image", image),
        Route(f"{PICTURES}/{{name}}/taps", read, methods=["POST"]),
    ]


def found_in(raw: bytes, shrink: float, asked: _Find, units: "UnitSystem") -> dict[str, Any]:
    """In the lane: the sheet, straightened; or which marks have to be tapped, and the picture.

    Raises InputProblem for a picture that cannot be read at all.
    """
    import numpy as np

    from vireton.photo import (
        PIXELS_PER_INCH,
        TAP_ERROR,
        FoundMarks,
        find_corner_marks,
        gray_of,
        locate_sheet,
        read_picture,
        straightened,
    )

    _stand_back()
    picture = read_picture(raw)
    gray = gray_of(picture)
    taps = {one: tuple((np.array(at) + 0.5) * shrink - 0.5) for one, at in asked.taps.items()}
    missing: list[Corner] = ["upper left", "lower left", "lower right", "upper right"]
    try:
        found = FoundMarks({}, None) if len(taps) == 4 else find_corner_marks(gray)
        missing = [one for one in found.missing if one not in taps]
        if missing:
            raise InputProblem(found.problem)
        error = TAP_ERROR * shrink * asked.scale
        sheet = locate_sheet(gray, taps=taps, paper=asked.paper, tap_error=error, found=found)
    except InputProblem as problem:
        # all four are there and do not fit: the sheet is not flat, which no tap makes good
        told = {"sheet": None, "problem": _sentence(problem), "missing": missing}
        if taps:
            return {**told, "shown": b"", "missing": list(asked.taps)}
        scale = max(1.0, max(picture.size) / _SHOWN)
        width, height = (round(one / scale) for one in picture.size)
        shown = picture.resize((width, height), reducing_gap=2.0)
        return {**told, "shown": _jpeg(shown), "shrink": scale, "width": width, "height": height}
    shown = straightened(picture, sheet)
    return {
        "sheet": sheet,
        "shown": _jpeg(shown),
        "width": shown.width,
        "height": shown.height,
        "paper": sheet.paper,
        "per_inch": PIXELS_PER_INCH,
        "middle": _middle(sheet.paper, units) if asked.kind == "shots" else None,
    }


def _stand_back() -> None:
    """Let other processes go first; not where there is none of our own."""
    if multiprocessing.parent_process() is not None:
        with suppress(AttributeError, OSError):
            os.setpriority(os.PRIO_PROCESS, 0, 5)


def _middle(paper: Paper, units: "UnitSystem") -> list[float]:
    """Where the printed group face is aimed at, pixels of the straightened image."""
    from vireton.paper import PAPERS
    from vireton.photo import PIXELS_PER_INCH
    from vireton.plots import group_middle

    right, up = group_middle(paper, units)
    height = PAPERS[paper][1]
    return [right * PIXELS_PER_INCH - 0.5, (height - up) * PIXELS_PER_INCH - 0.5]


def read_taps(sheet: "Sheet", asked: _Read, units: "UnitSystem") -> dict[str, Any]:
    """From the start to each end: inches right and up, and in words how far off at most.

    A tap is not trusted further than ``TAP_ERROR``, however near it was looked at.
    """
    import numpy as np

    from vireton.photo import PIXELS_PER_INCH, TAP_ERROR, between_straightened
    from vireton.units.spelling import spelled, tidy

    error = TAP_ERROR * max(1.0, asked.scale)
    ends = np.array(asked.ends)
    start = np.tile(np.array(asked.start), (len(ends), 1))
    found = between_straightened(sheet, start, ends, PIXELS_PER_INCH, error)
    give = 2.0 * float(found.error.max()) * INCH
    steps = math.ceil(give / _STEP[units])
    return {
        "inches": found.inches.round(4).tolist(),
        "give": spelled(tidy(steps * _STEP[units]), "bench", units),
        "give_in": give / INCH,
    }


def _jpeg(image: Any) -> bytes:
    import io

    out = io.BytesIO()
    image.save(out, "JPEG", quality=88)
    return out.getvalue()


def _sentence(problem: InputProblem) -> str:
    return f"{capital(str(problem))}."
