"""`coach doctor`: look at the machine, its network and the database, and say what is wrong and what to do."""

from __future__ import annotations

import json
import shutil
from dataclasses import asdict
from datetime import UTC, datetime
from typing import TYPE_CHECKING

import platformdirs

from coach.commands import hosted
from coach.commands.arguments import add_database, command, whole_number
from coach.errors import Malformed, NotReady, StoreError
from coach.ground.wording import size_words
from coach.machine import checks, network_checks, sending_checks
from coach.machine.addresses import private_addresses
from coach.machine.authority import KEY_FILE
from coach.machine.findings import Told, told_error
from coach.machine.given_tls import GivenTls
from coach.machine.leaf import LEAF_FILE
from coach.settings import LAST_PORT, read_settings
from coach.store.copies import FOLDER as COPIES
from coach.store.engine import read_url
from coach.store.look import SPARE_BYTES, file_of, look
from coach.web.carrying import mail_server, push_fault

if TYPE_CHECKING:
    import argparse
    from collections.abc import Iterator, Sequence
    from pathlib import Path

    from coach.commands.arguments import Parsers
    from coach.machine.addresses import Address
    from coach.settings import Settings
    from coach.store.look import Look

_DATABASE = "database"


def register(parsers: Parsers) -> None:
    """Add the command."""
    parser = command(parsers, "doctor", _doctor, "Look at this machine and say what is wrong and what to do.")
    parser.add_argument(
        "--port",
        type=whole_number(1, LAST_PORT),
        help="the port that Steading has or should have (default: 8420)",
    )
    parser.add_argument(
        "--mail", action="store_true", help="also ask the mail server whether it lets Steading in"
    )
    parser.add_argument("--json", action="store_true", help="print one JSON object instead of lines")
    add_database(parser)


def _doctor(arguments: argparse.Namespace) -> int:
    named = {key: getattr(arguments, key) for key in ("database", "port")}
    settings = read_settings(**{key: value for key, value in named.items() if value is not None})
    # A URL that names no database is a bad argument; what is wrong with the database it names is a finding.
    read_url(settings.database)
    told = list(_examined(settings, datetime.now(UTC), ask_mail=arguments.mail))
    wrong = [one for one in told if one.is_wrong]
    if arguments.json:
        fine = [{"about": one.about, "text": one.text} for one in told if not one.is_wrong]
        print(json.dumps({"findings": [asdict(one) for one in wrong], "fine": fine}, ensure_ascii=False))
    else:
        _say(told, len(wrong))
    return 1 if wrong else 0


def _say(told: Sequence[Told], wrong: int) -> None:
    for one in told:
        print(f"{'wrong' if one.is_wrong else 'fine '}  {one.about}: {one.text}")
        if one.is_wrong:
            print(f"       {one.mend}")
    print({0: "Nothing is wrong.", 1: "One thing is wrong."}.get(wrong, f"{wrong} things are wrong."))


def _examined(settings: Settings, now: datetime, *, ask_mail: bool) -> Iterator[Told]:
    """Every check, one after the other."""
    yield from network_checks.port(settings.host, settings.port)
    yield from _of_hosting(settings) if settings.way == "hosted" else _of_home(settings, now)
    seen: Look | None = None
    try:
        seen = look(settings.database)
        yield from _of_database(seen, file_of(settings.database))
    except StoreError as error:
        yield told_error(_DATABASE, error)
    for url in settings.databases.values():
        try:
            yield from _of_database(look(url), file_of(url))
        except StoreError as error:
            yield told_error(_DATABASE, error)
    yield from checks.time_of_day(now, _past(settings, seen))
    yield from checks.folders(_private(settings))
    yield from sending_checks.push(on=settings.push == "on", fault=push_fault(settings))
    yield from sending_checks.mail(mail_server(settings) if settings.mail_server else None, ask=ask_mail)


def _of_home(settings: Settings, now: datetime) -> Iterator[Told]:
    """A home's addresses, names and certificates."""
    found: tuple[Address, ...] = ()
    try:
        found = private_addresses()
        yield from network_checks.addresses(found)
        yield from network_checks.names(found, settings.port)
    except NotReady as error:
        yield told_error("addresses", error)
    yield from checks.certificate(settings.tls_folder, found, now)


def _of_hosting(settings: Settings) -> Iterator[Told]:
    """The public address, and the certificate where one is given; a proxy's is the proxy's."""
    try:
        hosted.check(settings)
        yield Told("address", f"People find it under {settings.public_url}.")
        if settings.certificate and settings.key:
            GivenTls(settings.certificate, settings.key)
            yield Told("certificate", f"{settings.certificate} and its key can be used.")
    except Malformed as error:
        yield Told("address", str(error), "Set what is missing, as for coach serve --hosted.")
    except NotReady as error:
        yield told_error("certificate", error)


def _of_database(seen: Look, file: Path | None) -> Iterator[Told]:
    if not seen.there:
        yield Told(_DATABASE, f"There is no {seen.name.removeprefix('the ')} yet; the first start makes it.")
        return
    faults = [told_error(_DATABASE, StoreError(fault)) for fault in seen.faults]
    if file is not None:
        faults += _room(file)
    yield from faults
    if not faults:
        state = (
            "is in order"
            if seen.current
            else "is of an earlier version, which the next start brings up to date"
        )
        yield Told(_DATABASE, f"{seen.name[:1].upper()}{seen.name[1:]} {state}.")


def _room(file: Path) -> list[Told]:
    """Whether the disk has room for a copy, for replacing the database, and to spare."""
    free, wanted = shutil.disk_usage(file.parent).free, 3 * file.stat().st_size + SPARE_BYTES
    if free >= wanted:
        return []
    text = f"Only {size_words(free)} are free on the disk of {file}; a restore needs {size_words(wanted)}."
    return [Told(_DATABASE, text, "Free some space, or move old copies to another disk.")]


def _past(settings: Settings, seen: Look | None) -> dict[str, datetime | None]:
    """What has been for certain."""
    files = {
        file for file in (file_of(settings.database), settings.tls_folder / KEY_FILE) if file is not None
    }
    past = {f"{file} was written": _written(file) for file in files}
    return {**past, "the newest row of the database was written": None if seen is None else seen.latest}


def _written(file: Path) -> datetime | None:
    return datetime.fromtimestamp(file.stat().st_mtime, UTC) if file.is_file() else None


def _private(settings: Settings) -> list[Path]:
    """What should be for its owner alone."""
    folder, keys = platformdirs.user_data_path("steading"), settings.tls_folder
    file = file_of(settings.database)
    of_database = [] if file is None else [file, file.with_name(file.name + COPIES)]
    return [folder, *of_database, keys, keys / KEY_FILE, keys / LEAF_FILE]
