"""`coach serve` and `coach demo`: the service on this machine, with your own database or a throw-away one."""

from __future__ import annotations

import gc
import sys
from contextlib import ExitStack
from pathlib import Path
from typing import TYPE_CHECKING

from coach.coaching.demo import furnish, tern_street, their_day
from coach.commands import demo_group, hosted, logs
from coach.commands.arguments import add_database, add_lessons, add_today, command, whole_number
from coach.errors import Malformed
from coach.household import data
from coach.machine.addresses import host_is_loopback
from coach.progress.csvform import write_log
from coach.settings import LAST_PORT, read_settings
from coach.web import listening
from coach.web.callers import HOUSEHOLD
from coach.web.server import Server
from coach.web.uploads import new_folder, remove_folder, stay_where_told

if TYPE_CHECKING:
    import argparse
    import socket
    from collections.abc import Callable, Iterator, Sequence

    from fastapi import FastAPI

    from coach.commands.arguments import Parsers
    from coach.commands.at_home import Home
    from coach.ground.ports import Context
    from coach.settings import Settings


SETTABLE = (
    "database",
    "lessons",
    "way",
    "tls",
    "host",
    "port",
    "tls_port",
    "public_url",
    "certificate",
    "key",
    "today",
)
"""The settings that have an option."""


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
    demo.add_argument(
        "--group",
        action="store_true",
        help="a coach's group of 120 invented homes instead, as it is hosted",
    )
    for parser in (serve, demo):
        ways = parser.add_mutually_exclusive_group()
        ways.add_argument(
            "--home",
            dest="way",
            action="store_const",
            const="home",
            help="answer to the phones of the home network too, once they are paired",
        )
        if parser is serve:
            _add_hosted(parser, ways)
        parser.add_argument(
            "--tls",
            action="store_const",
            const=True,
            help="with --home: speak https there too, by a certificate that phones have to be told to trust",
        )
        parser.add_argument(
            "--host",
            help="the address to listen on: a loopback one (default: 127.0.0.1), with --home a private one",
        )
        parser.add_argument(
            "--port",
            type=whole_number(0, LAST_PORT),
            help="the port to listen on; 0 takes a free one (default: 8420)",
        )
        parser.add_argument(
            "--tls-port",
            type=whole_number(0, LAST_PORT),
            help="the port for https; 0 takes a free one (default: 8443)",
        )
        add_today(parser)


def _add_hosted(parser: argparse.ArgumentParser, ways: argparse._MutuallyExclusiveGroup) -> None:
    ways.add_argument(
        "--hosted",
        dest="way",
        action="store_const",
        const="hosted",
        help="serve many households and their coaches, under a public address",
    )
    parser.add_argument(
        "--public-url", metavar="URL", help="with --hosted: the address that people open, https://…"
    )
    parser.add_argument(
        "--certificate", metavar="FILE", type=Path, help="with --hosted and no proxy: the certificate, as PEM"
    )
    parser.add_argument("--key", metavar="FILE", type=Path, help="its key, as PEM")


def _settings(arguments: argparse.Namespace, **more: object) -> Settings:
    """The settings: arguments before the environment before what holds otherwise."""
    named = {key: value for key in SETTABLE if (value := getattr(arguments, key, None)) is not None}
    settings = read_settings(**(named | more))
    hosted.check(settings)
    if settings.way == "alone":
        _check_alone(settings)
    return settings


def _check_alone(settings: Settings) -> None:
    """Refuse what only a home network is for."""
    if not host_is_loopback(_bracketed(settings.host)):
        raise Malformed(
            f"Steading listens on this machine only, and {settings.host} is open to others. Use "
            "--host 127.0.0.1, let the phones of your home network in with --home, or serve many households "
            "with --hosted."
        )
    if settings.tls:
        raise Malformed("--tls is for the phones of a home network: use it with --home, or leave it out.")


def _bracketed(host: str) -> str:
    """A host as it stands in an address line."""
    host = host.strip("[]")
    return f"[{host}]" if ":" in host else host


def _serve(arguments: argparse.Namespace) -> int:
    return _run(_settings(arguments))


def _demo(arguments: argparse.Namespace) -> int:
    stay_where_told()
    folder = new_folder()
    try:
        if arguments.group:
            return _host(_settings_of_group(arguments, folder), demo_group.enter)
        return _run(_settings(arguments, database=f"sqlite:///{folder / 'demo.db'}"), with_demo=True)
    finally:
        remove_folder(folder)


def _settings_of_group(arguments: argparse.Namespace, folder: Path) -> Settings:
    """The settings of a group to be shown: hosted, under this machine's own name."""
    named = _settings(arguments, database=f"sqlite:///{folder / 'demo.db'}")
    if named.way == "home":
        raise Malformed("--group shows what is hosted for many: leave --home out.")
    port = named.port or demo_group.free_port(named.host)
    where = {"way": "hosted", "port": port, "public_url": f"http://localhost:{port}"}
    return _settings(arguments, database=named.database, **where)


def _application(settings: Settings) -> FastAPI:
    """The application, loaded when it is to run: that takes seconds, for which no help has to wait.

    What it is made of stays. So nothing is collected meanwhile, and no later collection looks through it.
    """
    gc.disable()
    try:
        from coach.app import create_app  # noqa: PLC0415  see above

        return create_app(settings)
    finally:
        gc.freeze()
        gc.enable()


def _run(settings: Settings, *, with_demo: bool = False) -> int:
    if settings.way == "hosted":
        return _host(settings)
    with ExitStack() as until:
        home = _home(settings, until)
        sockets = _alone(settings, until) if home is None else home.sockets
        app = _application(settings)
        if with_demo:
            _furnish(app.state.context)
        _tell_gaps(app)
        logs.set_up()
        _serve_until_the_end(app, sockets, home)
    return 0


def _host(settings: Settings, enter: Callable[[Context, str], Iterator[str]] | None = None) -> int:
    with ExitStack() as until:
        many = hosted.Hosted(settings, until)
        app = _application(settings)
        _tell_gaps(app)
        logs.set_up()
        ways_in = enter(app.state.context, settings.public_url or "") if enter else ()
        for line in (*many.told(settings, has_coach=bool(enter) or _has_coach(app.state.context)), *ways_in):
            print(line, flush=True)
        state = app.state
        # Whose word for an address is believed is ours to say (coach/web/proxies.py), not uvicorn's.
        ends = (state.end_waits, state.changes.end)
        server = Server(app, *ends, many.secure, many.look, proxy_headers=False)
        server.run(sockets=many.sockets)
    return 0


def _tell_gaps(app: FastAPI) -> None:
    """Say where the database does not keep households apart by itself."""
    for gap in app.state.gaps:
        print(gap, file=sys.stderr, flush=True)


def _has_coach(context: Context) -> bool:
    with context.store.people_reading() as reading:
        return any(one.is_coach for one in reading.everybody())


def _home(settings: Settings, until: ExitStack) -> Home | None:
    if settings.way == "alone":
        return None
    from coach.commands.at_home import Home  # noqa: PLC0415  its libraries are for homes alone

    return Home(settings, until)


def _alone(settings: Settings, until: ExitStack) -> list[socket.socket]:
    sockets = listening.on_this_machine(settings.host, settings.port)
    for one in sockets:
        until.enter_context(one)
    return sockets


def _serve_until_the_end(app: FastAPI, sockets: Sequence[socket.socket], home: Home | None) -> None:
    own = _own_address(sockets)
    print(f"Steading is at {own}/ (Ctrl+C ends it)", flush=True)
    if home is None:
        Server(app, app.state.end_waits, app.state.changes.end).run(sockets=list(sockets))
        return
    from coach.commands.at_home import told  # noqa: PLC0415  the same

    app.state.network = home.network
    for line in told(home.network, app.state.context, own):
        print(line, flush=True)
    home.network.begin()
    try:
        Server(app, app.state.end_waits, app.state.changes.end, home.secure, home.network.look).run(
            sockets=list(sockets)
        )
    finally:
        home.network.end()


def _own_address(sockets: Sequence[socket.socket]) -> str:
    """The address for this machine's own browser."""
    host, port = sockets[0].getsockname()[:2]
    return f"http://{listening.LOOPBACK if host in listening.EVERYWHERE else _bracketed(host)}:{port}"


def _furnish(context: Context) -> None:
    today = context.pretend or their_day(context.clock())
    course = context.library.course(context.course)
    data.load(context, HOUSEHOLD, write_log(tern_street(course, today)))
    furnish(context, HOUSEHOLD, today)
