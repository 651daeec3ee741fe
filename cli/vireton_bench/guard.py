"""Who may come in: the right host, no other site's page, a paired phone, small and few requests.

A page of another site can make a phone's browser send requests here, and a name that is made to
point to this computer (DNS rebinding) can make them look like our own. So the Host has to be an
address that was printed at the start, what writes has to name it as its Origin, and the pairing
cookie is sent by no other site (SameSite=Strict). Fetch metadata is looked at where a browser
sends it (W3C, *Fetch Metadata Request Headers*, from memory).
"""

import asyncio
import hashlib
import hmac
import json
import time
from collections import Counter, OrderedDict
from collections.abc import Callable
from dataclasses import dataclass, field
from http.cookies import CookieError, SimpleCookie

from starlette.types import ASGIApp, Message, Receive, Scope, Send

from vireton.units.text import capital

#: Requests a second and in one go (our choice).
RATE, BURST = 60.0, 240.0


@dataclass(frozen=True)
class Taken:
    """What may be sent: content types and what is said of others, bytes, s, how many at a time.

    One costs as much of the rate as ``cost`` requests.
    """

    kinds: tuple[str, ...]
    others: str
    bytes: int
    seconds: float
    at_once: int
    cost: float = 1.0

    @property
    def most(self) -> str:
        """Its size in words."""
        million = 1_000_000
        return f"{self.bytes // million} MB" if self.bytes > million else f"{self.bytes >> 10} KiB"


#: Everything but a picture, and a picture (our choice).
LARGEST_BODY = 64 * 1024
USUAL = Taken(("application/json",), "only JSON is taken", LARGEST_BODY, 10.0, 200)
PICTURES = "/api/pictures"
PICTURE = Taken(
    ("image/jpeg", "image/png"), "pictures are taken as JPEG or PNG", 20_000_000, 60.0, 4, 20.0
)
_MOST_PHONES = 1000
_YEAR = 365 * 24 * 3600

HEADERS = (
    (
        b"content-security-policy",
        b"default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; "
        b"media-src blob:; connect-src 'self'; manifest-src 'self'; form-action 'none'; "
        b"base-uri 'none'; "
        b"frame-ancestors 'none'; require-trusted-types-for 'script'; trusted-types 'none'",
    ),
    (b"x-content-type-options", b"nosniff"),
    (b"referrer-policy", b"no-referrer"),
    (b"cross-origin-opener-policy", b"same-origin"),
    (b"cross-origin-resource-policy", b"same-origin"),
    (b"permissions-policy", b"camera=(), microphone=(), geolocation=()"),
)


class _RefusedError(Exception):
    def __init__(self, status: int, words: str) -> None:
        super().__init__(words)
        self.status = status


@dataclass
class Guard:
    """In front of ``app``. ``hosts``: as printed, ``"192.168.1.5:8484"``.

    ``secret``: what the QR code's address holds; None where only this computer can come.
    ``unpaired``: the page for who is not paired. ``clock`` s.
    """

    app: ASGIApp
    hosts: frozenset[str]
    secret: str | None = None
    unpaired: str = ""
    clock: Callable[[], float] = time.monotonic
    _tokens: "OrderedDict[str, tuple[float, float]]" = field(default_factory=OrderedDict)
    _arriving: "Counter[Taken]" = field(default_factory=Counter)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":  # no sockets of another kind are served
            await send({"type": "websocket.close", "code": 1008})
            return
        answer = _with_headers(send, secret=scope["path"].startswith("/pair/"))
        try:
            headers = _headers(scope)
            self._check_host(headers)
            self._check_rate(scope)
            self._check_site(scope, headers)
            if self.secret is not None and await self._is_pairing(scope, headers, answer):
                return
            body = await self._body(scope, headers, receive)
        except _RefusedError as no:
            await _tell(answer, scope, no.status, str(no), self.unpaired)
            return
        await self.app(scope, body, answer)

    def _check_host(self, headers: dict[str, str]) -> None:
        if headers.get("host", "").lower() not in self.hosts:
            raise _RefusedError(421, "this is not an address of the bench")

    def _check_site(self, scope: Scope, headers: dict[str, str]) -> None:
        site = headers.get("sec-fetch-site", "")
        writes = scope["method"] not in ("GET", "HEAD")
        origin = headers.get("origin")
        if origin is not None and origin != f"http://{headers['host']}":
            raise _RefusedError(403, "another site's page asked for this")
        if writes and origin is None and site != "same-origin":
            raise _RefusedError(403, "a request that writes has to say where it comes from")
        if site in ("cross-site", "same-site") and (writes or scope["path"].startswith("/api/")):
            raise _RefusedError(403, "another site's page asked for this")

    def _check_rate(self, scope: Scope) -> None:
        """A bucket of tokens for each address."""
        who = (scope.get("client") or ("",))[0]
        now = self.clock()
        left, before = self._tokens.pop(who, (BURST, now))
        left = min(BURST, left + (now - before) * RATE)
        cost = _taken(scope).cost
        self._tokens[who] = (max(left - cost, 0.0), now)
        while len(self._tokens) > _MOST_PHONES:
            self._tokens.popitem(last=False)
        if left < cost:
            raise _RefusedError(429, "too many requests at once; wait a moment")

    async def _body(self, scope: Scope, headers: dict[str, str], receive: Receive) -> Receive:
        """The whole body, small and in time, as the application receives it."""
        if scope["method"] in ("GET", "HEAD"):
            return receive
        taken = _taken(scope)
        if headers.get("content-type", "").partition(";")[0].strip() not in taken.kinds:
            raise _RefusedError(415, taken.others)
        length = headers.get("content-length", "0")
        if not length.isdecimal() or int(length) > taken.bytes:
            raise _RefusedError(413, f"more than {taken.most}")
        if self._arriving[taken] >= taken.at_once:
            raise _RefusedError(429, "others are sending at the moment; try again in a moment")
        self._arriving[taken] += 1
        try:
            async with asyncio.timeout(taken.seconds):
                whole = await _all_of(receive, taken)
        except TimeoutError:
            raise _RefusedError(408, "the request took too long to arrive") from None
        finally:
            self._arriving[taken] -= 1
        return _once_more(whole, receive)

    async def _is_pairing(self, scope: Scope, headers: dict[str, str], send: Send) -> bool:
        """Pair a phone that brings the secret; refuse one that is not paired."""
        assert self.secret is not None
        name, value = cookie_of(self.secret, headers["host"])
        path = scope["path"]
        if path.startswith("/pair/"):
            if not _same(path.removeprefix("/pair/"), self.secret):
                raise _RefusedError(403, "this code is of another bench, or of an earlier one")
            cookie = f"{name}={value}; Path=/; Max-Age={_YEAR}; HttpOnly; SameSite=Strict"
            headers_ = [(b"location", b"/"), (b"set-cookie", cookie.encode())]
            await send({"type": "http.response.start", "status": 303, "headers": headers_})
            await send({"type": "http.response.body", "body": b""})
            return True
        jar: SimpleCookie = SimpleCookie()
        try:
            jar.load(headers.get("cookie", ""))
        except CookieError:
            jar = SimpleCookie()
        given = jar[name].value if name in jar else ""
        if not _same(given, value) and not path.startswith("/static/"):
            raise _RefusedError(401, "this phone is not paired: scan the code at the bench")
        return False


def cookie_of(secret: str, host: str) -> tuple[str, str]:
    """Name and value of the pairing cookie: not the secret itself."""
    port = host.rpartition(":")[2]
    value = hashlib.sha256(f"bench cookie {secret}".encode()).hexdigest()
    return f"vireton_bench_{port}", value


def _same(one: str, other: str) -> bool:
    return hmac.compare_digest(one.encode(), other.encode())


def _headers(scope: Scope) -> dict[str, str]:
    found: dict[str, str] = {}
    for name, value in scope["headers"]:
        key = name.decode("latin-1").lower()
        if key in ("host", "origin") and key in found:
            raise _RefusedError(400, f"two {key} headers")
        joined = found.get(key)
        text = value.decode("latin-1")
        found[key] = text if joined is None else f"{joined}; {text}"
    return found


def _taken(scope: Scope) -> Taken:
    return PICTURE if scope["method"] == "POST" and scope["path"] == PICTURES else USUAL


async def _all_of(receive: Receive, taken: Taken) -> bytes:
    whole = bytearray()
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            raise _RefusedError(400, "it did not arrive whole")
        whole += message.get("body", b"")
        if len(whole) > taken.bytes:
            raise _RefusedError(413, f"more than {taken.most}")
        if not message.get("more_body", False):
            break
    return bytes(whole)


def _once_more(whole: bytes, receive: Receive) -> Receive:
    sent = False

    async def again() -> Message:
        nonlocal sent
        if sent:
            return await receive()
        sent = True
        return {"type": "http.request", "body": whole, "more_body": False}

    return again


def _with_headers(send: Send, *, secret: bool) -> Send:
    async def answer(message: Message) -> None:
        if message["type"] == "http.response.start":
            have = {name for name, _ in message.get("headers", [])}
            extra = [one for one in HEADERS if one[0] not in have]
            if b"cache-control" not in have or secret:
                extra.append((b"cache-control", b"no-store"))
            message = {**message, "headers": [*message.get("headers", []), *extra]}
        await send(message)

    return answer


async def _tell(send: Send, scope: Scope, status: int, words: str, page: str) -> None:
    is_page = status == 401 and not scope["path"].startswith("/api/")
    body = page if is_page else json.dumps({"problem": f"{capital(words)}."})
    kind = b"text/html; charset=utf-8" if is_page else b"application/json"
    headers = [(b"content-type", kind), (b"content-length", str(len(body.encode())).encode())]
    if status == 429:
        headers.append((b"retry-after", b"1"))
    if status in (408, 413):
        headers.append((b"connection", b"close"))
    await send({"type": "http.response.start", "status": status, "headers": headers})
    await send({"type": "http.response.body", "body": body.encode()})
