"""`coach serve` and `coach demo`: the service on this machine, with your own database or a throw-away one."""

from __future__ import annotations

import ipaddress
import socket
from contextlib import closing
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from coach.app import create_app
from coach.coaching.demo import furnish, tern_street
from coach.commands import logs
from coach.commands.arguments import add_database, add_lessons, add_today, command, whole_number
from coach.errors import Malformed, StoreError
from coach.household import data
from coach.progress.csvform import write_log
from coach.settings import LAST_PORT, read_settings
from coach.web.callers import HOUSEHOLD
from coach.web.server import Server
from coach.web.uploads import new_folder, remove_folder, stay_where_told

if TYPE_CHECKING:
    import argparse

    from coach.commands.arguments import Parsers
    from coach.ground.ports import Context
    from coach.settings import Settings


def register(parsers: Parsers) -> None:
    """Add the commands."""
    serve = command(parsers, "serve", _serve, "Run Steading on this machine and print its address.")
    add_database(serve)
    add_lessons(serve)
    demo = command(
        parsers,
        "demo",
        _demo,
        "Run the Tern Street household, with weeks of days behind it, in a throw-away database.",
    )
    for parser in (serve, demo):
        parser.add_argument("--host", help="the loopback address to listen on (default: 127.0.0.1)")
        parser.add_argument(
            "--port",
            type=whole_number(0, LAST_PORT),
            help="the port to listen on; 0 takes a free one (default: 8420)",
        )
        add_today(parser)


def _settings(arguments: argparse.Namespace, **more: object) -> Settings:
    """The settings: arguments before the environment before what holds otherwise."""
    named = {
        key: value
        for key in ("database", "lessons", "host", "port", "today")
        if (value := getattr(arguments, key, None)) is not None
    }
    settings = read_settings(**(named | more))
    if not _is_loopback(settings.host):
        raise Malformed(
            f"Steading listens on this machine only, since it has no accounts yet, and {settings.host} is "
            "open to others. Use --host 127.0.0.1, and reach it from elsewhere through a tunnel like ssh -L."
        )
    return settings


def _is_loopback(host: str) -> bool:
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


def _serve(arguments: argparse.Namespace) -> int:
    return _run(_settings(arguments))


def _demo(arguments: argparse.Namespace) -> int:
    stay_where_told()
    folder = new_folder()
    try:
        return _run(_settings(arguments, database=f"sqlite:///{folder / 'demo.db'}"), with_demo=True)
    finally:
        remove_folder(folder)


def _run(settings: Settings, *, with_demo: bool = False) -> int:
    with closing(_listening(settings.host, settings.port)) as listening:
        app = create_app(settings)
        if with_demo:
            _furnish(app.state.context)
        logs.set_up()
        host, port = listening.getsockname()[:2]
        address = f"[{host}]" if ":" in host else host
        print(f"Steading is at http://{address}:{port}/ (Ctrl+C ends it)", flush=True)
        Server(app, app.state.end_waits).run(sockets=[listening])
    return 0


def _listening(host: str, port: int) -> socket.socket:
    """A listening socket, opened before anything else is touched."""
    host = host.strip("[]")
    try:
        family = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0][0]
        listening = socket.create_server((host, port), family=family)
    except OSError as error:
        raise StoreError(
            f"Port {port} on {host} cannot be used: {error.strerror}. Choose another with --port; "
            "0 takes a free one."
        ) from error
    # Its connections inherit this. Without it the end of every answer waits 40 ms for the client to confirm
    # the beginning, since asyncio sets it only on sockets that name their protocol.
    listening.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    return listening


def _furnish(context: Context) -> None:
    today = context.pretend or datetime.now(UTC).date()
    course = context.library.course(context.course)
    data.load(context, HOUSEHOLD, write_log(tern_street(course, today)))
    furnish(context, HOUSEHOLD, today)
