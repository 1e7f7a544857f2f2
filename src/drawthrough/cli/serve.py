"""`drawthrough serve`: the application, for this machine alone unless told otherwise."""

import argparse
import socket
import sys
from pathlib import Path

from drawthrough.errors import DrawthroughError

PORT = 8721


def add_parser(subparsers: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command's options."""
    parser = subparsers.add_parser(
        "serve",
        help="open the application: record a visit and read what it proves",
        description="Serves the application to browsers on this machine. Everything written is kept in one folder.",
    )
    parser.add_argument(
        "--port", type=int, default=PORT, help=f"port to listen on; 0 takes a free one (default {PORT})"
    )
    parser.add_argument("--data", type=Path, help="folder of the record (default: the place of this system for data)")
    parser.add_argument("--demo", type=Path, metavar="SHEET", help="show a visit sheet and keep nothing: all in memory")
    parser.add_argument("--open", action="store_true", help="open it in this machine's browser too")
    parser.add_argument("--json", action="store_true", help="print what is served as JSON")
    parser.set_defaults(command="serve")


def run(arguments: argparse.Namespace) -> int:
    """Serve until interrupted."""
    import uvicorn

    from drawthrough.store.sqlite import SqliteStore
    from drawthrough.visit.sheet import load
    from drawthrough.web import create_app

    shown = load(arguments.demo) if arguments.demo else None
    where = None if shown else _folder(arguments.data)
    store = SqliteStore(where / "visits.sqlite", photos=where / "photos") if where else SqliteStore()
    try:
        app = create_app(store, device=_device(where) if where else "demo")
        if shown is not None:
            app.state.ledger.bring_visit(shown, app.state.ledger.once())
        listening = _listen(arguments.port)
        address = f"http://127.0.0.1:{listening.getsockname()[1]}/"
        _say(address, where, arguments.json)
        if arguments.open:
            _open(address)
        _settle()
        config = uvicorn.Config(app, log_level="warning", access_log=False, lifespan="off", ws="none")
        uvicorn.Server(config).run(sockets=[listening])
    finally:
        store.close()
    return 0


def _folder(chosen: Path | None) -> Path:
    if chosen is None:
        from platformdirs import user_data_path

        chosen = user_data_path("drawthrough", appauthor=False)
    chosen.mkdir(parents=True, exist_ok=True)
    return chosen


def _device(where: Path) -> str:
    """Return the name under which this folder's application mints facts; made once, kept beside the record."""
    import secrets

    kept = where / "device"
    if not kept.exists():
        kept.write_text(f"desk-{secrets.token_hex(4)}\n", encoding="utf-8")
    return kept.read_text(encoding="utf-8").strip()


def _listen(port: int) -> socket.socket:
    listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listening.bind(("127.0.0.1", port))
        listening.listen()  # before the address is told: whoever reads it may come at once
    except OSError as fault:
        raise DrawthroughError(
            f"Port {port} cannot be had ({fault.strerror}); another program may hold it. --port 0 takes a free one."
        ) from fault
    return listening


def _settle() -> None:
    """Let the collector of garbage leave alone what stays, and look at the rest less often.

    A judgement makes many small objects, none of them in circles; a full look at everything that 64 visits hold takes
    as long as several judgements, while somebody waits.
    """
    import gc

    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 100)


def _open(address: str) -> None:
    """Open the address where there is a screen to open it on; elsewhere the printed line is enough."""
    import os
    import webbrowser

    if sys.platform in ("darwin", "win32") or os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"):
        webbrowser.open(address)


def _say(address: str, where: Path | None, as_json: bool) -> None:
    if as_json:
        import json

        print(json.dumps({"address": address, "data": str(where) if where else None}), flush=True)
        return
    print(f"Drawthrough is open at {address}")
    print(f"Everything written is kept in {where}" if where else "The demo keeps nothing: it is in memory alone.")
    print("Ctrl-C ends it.", flush=True)
    sys.stdout.flush()
