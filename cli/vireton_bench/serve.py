"""Start the bench page, say where it is, and end it."""

import hashlib
import logging
import os
import secrets
import socket
import sys
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import typer

from vireton.units.problems import InputProblem, named

if TYPE_CHECKING:
    from vireton.units.text import UnitSystem

#: s for answers that are under way when it ends.
_LAST_ANSWERS = 2


def serve(folder: Path, *, port: int, is_lan: bool, units: "UnitSystem", unpair: bool) -> None:
    """Serve the folder until Ctrl-C. Raises InputProblem where it cannot begin."""
    import uvicorn

    from vireton_bench.app import Bench, make_app
    from vireton_bench.lanes import Lanes
    from vireton_bench.picture import Pictures
    from vireton_bench.shop import Shop

    if not folder.is_dir():
        raise InputProblem(f"{named(folder)}: there is no such folder; make it first")
    folder = folder.resolve()
    address = lan_address() if is_lan else "127.0.0.1"
    secret = pairing_secret(folder, anew=unpair) if is_lan else None
    sockets = [_listening(one, port) for one in dict.fromkeys((address, "127.0.0.1"))]
    port = sockets[0].getsockname()[1]
    names = {address, "127.0.0.1", "localhost"}
    lanes = Lanes(min(2, os.cpu_count() or 1))
    bench = Bench(Shop(folder), lanes, units, is_lan, Pictures(lanes=1))
    app = make_app(bench, frozenset(f"{one}:{port}" for one in names), secret)
    config = uvicorn.Config(
        app,
        log_config=None,
        access_log=False,
        server_header=False,
        ws="none",
        lifespan="off",
        limit_concurrency=200,
        timeout_keep_alive=30,
        timeout_graceful_shutdown=_LAST_ANSWERS,
    )
    # answers that Ctrl-C cuts off are no news: what was recorded is whole, the phone asks again
    logging.getLogger("uvicorn.error").addFilter(lambda one: "running task" not in one.getMessage())
    bench.warm_up()
    path = f"pair/{secret}" if secret else ""
    announce(f"http://{address}:{port}/{path}", is_lan=is_lan)
    try:
        with suppress(KeyboardInterrupt):  # the usual way to end it
            uvicorn.Server(config).run(sockets)
    finally:
        bench.lanes.close()
        bench.pictures.close()
        for one in sockets:
            one.close()
    typer.echo("stopped; what was recorded is in the job files")


def announce(address: str, *, is_lan: bool) -> None:
    """The address, its code to scan, and what plain HTTP means here."""
    import segno

    from vireton_bench.words import PLAIN_HTTP

    typer.echo(f"bench page: {address}")
    if is_lan and (sys.stdout.encoding or "").lower().startswith("utf"):
        segno.make(address, error="l").terminal(out=sys.stdout, compact=True, border=2)
    if is_lan:
        typer.echo("Scan it with each phone or tablet, once. Who has this code can record.")
        typer.echo(PLAIN_HTTP)
    else:
        typer.echo("only on this computer; add --lan for phones and tablets in the shop's network")
    typer.echo("Ctrl-C ends it")
    sys.stdout.flush()


def lan_address() -> str:
    """The address of this computer in its network. Raises InputProblem where it is in none."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            probe.connect(("10.255.255.255", 1))  # sends nothing: asks which way it would go
            found = str(probe.getsockname()[0])
        except OSError:
            found = ""
    if not found or found.startswith("127."):
        raise InputProblem("--lan: this computer is in no network; connect it, or leave --lan out")
    return found


def _listening(address: str, port: int) -> socket.socket:
    one = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    if os.name != "nt":
        one.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        one.bind((address, port))
    except OSError as problem:
        one.close()
        raise InputProblem(
            f"--port {port}: {problem.strerror or problem}; is a bench page running already? Give "
            "another one, such as --port 8585"
        ) from None
    one.listen(128)
    one.set_inheritable(False)
    return one


def pairing_secret(folder: Path, *, anew: bool) -> str:
    """The folder's own, kept over restarts so that phones stay paired; ``anew``: another one.

    It lies with the user's own state, readable by nobody else, not in the folder, which may be
    shared or synchronized.
    """
    base = os.environ.get("XDG_STATE_HOME") or os.environ.get("LOCALAPPDATA")
    home = Path(base) if base else Path.home() / ".local" / "state"
    place = home / "vireton"
    file = place / f"bench-{hashlib.sha256(str(folder).encode()).hexdigest()[:16]}"
    if not anew:
        with suppress(OSError):
            kept = file.read_text("ascii").strip()
            if len(kept) >= 22:
                return kept
    secret = secrets.token_urlsafe(16)
    with suppress(OSError):  # without it phones pair anew after each start
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        file.unlink(missing_ok=True)
        with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as out:
            out.write(secret)
    return secret
