"""What the one who runs Steading can set, from the environment (`COACH_...`) or the command line."""

import os
import re
from datetime import date
from ipaddress import IPv4Network, IPv6Network, ip_network
from pathlib import Path
from typing import Annotated, Literal

import platformdirs
from pydantic import AfterValidator, Field, SecretStr, ValidationError
from pydantic_core import ErrorDetails
from pydantic_settings import BaseSettings, SettingsConfigDict, SettingsError

from coach.errors import Malformed

LAST_PORT = 65535
PREPARE_AFTER, MOST_USES = 5, 1_000_000
FIRST_TODAY, LAST_TODAY = date(1900, 1, 1), date(2199, 12, 31)
WANTED = {
    "port": f"a whole number from 0 to {LAST_PORT}; 0 takes a free one",
    "tls_port": f"a whole number from 0 to {LAST_PORT}; 0 takes a free one",
    "offline": "on or off",
    "hosts": 'a list of names such as ["home.example"]',
    "public_url": "an address such as https://home.example, with nothing after the host but a port",
    "way": "alone, home or hosted",
    "proxies": "a list of addresses or networks such as 192.0.2.0/24",
    "mail_port": f"a whole number from 1 to {LAST_PORT}",
    "mail_security": "starttls, tls or none",
    "push": "on or off",
    "databases": 'a JSON object of names and URLs such as {"second": "postgresql://…"}; “first” is taken',
    "new_homes": 'a JSON list of names of databases such as ["first", "second"]',
    "counted_from": "a JSON object of names of databases and URLs of their standbys",
    "prepare_after": f"a whole number up to {MOST_USES}; 0 for never",
    "today": f"a date from {FIRST_TODAY} to {LAST_TODAY}, written as YYYY-MM-DD",
}
FIRST = "first"
"""The name of the database that COACH_DATABASE names, where there are several."""

LOOPBACK = ("localhost", "127.0.0.1", "[::1]")


def default_database() -> str:
    """An SQLite file in the user's data folder, as a database URL."""
    return f"sqlite:///{platformdirs.user_data_path('steading') / 'steading.db'}"


def default_tls_folder() -> Path:
    """A folder of its own in the user's data folder."""
    return platformdirs.user_data_path("steading") / "certificates"


def _as_origin(address: str) -> str:
    """An address without the slash at its end.

    Raises:
        ValueError: It is more than a scheme, a host and a port.
    """
    found = address.removesuffix("/")
    if not re.fullmatch(r"https?://([a-z0-9.-]+|\[[0-9a-f:.]+\])(:\d{1,5})?", found):
        raise ValueError("no address of a service")
    return found


def _as_names(databases: dict[str, str]) -> dict[str, str]:
    """Databases by names that nobody mistakes for the first one's, or for a word of SQL.

    Raises:
        ValueError: A name is another one's, or no name.
    """
    if FIRST in databases or not all(re.fullmatch(r"[a-z][a-z0-9_]{0,30}", name) for name in databases):
        raise ValueError("no names of databases")
    return databases


class Settings(BaseSettings):
    """Everything that can be set, with what holds if nothing is.

    Attributes:
        database: SQLAlchemy URL of the database.
        lessons: The lessons folder; none: the lessons that come with the package.
        course: The folder in it that a new household follows; none: three-weeks, or the first one there is.
        today: A date to try instead of the real one.
        host: The address to listen on.
        port: The port to listen on.
        hosts: Names under which the pages may be asked for besides the loopback ones.
        offline: `on`: browsers keep today's list for when there is no network; `off`: they forget it.
        way: `alone` on this machine; `home`: for the phones of the home network too, once they are paired;
            `hosted`: for many households and their coaches, under a public address.
        tls: Whether it speaks TLS there too, with a certificate of the household's own authority.
        tls_port: The port for that.
        announce: Whether the home network is told by multicast DNS where `steading.local` is.
        tls_folder: Where the household's authority and the certificates it signs are kept.
        public_url: Where the pages are found from outside, for the links of messages; none: nowhere. Hosted,
            it is the one address they are asked for under.
        certificate: Hosted without a proxy: the file with the certificate to speak TLS with, and its chain.
        key: The file with its key.
        proxies: Hosted: from where a reverse proxy asks, whose word for an address is believed.
        push: `on`: messages are sent to browsers, by way of their push services in the internet.
        push_contact: How these services reach whoever runs this one: a `mailto:` or `https:` address.
        databases: Databases for more households than one holds, by names of one's own: `second` and so on.
        new_homes: The databases that new households go to, `first` among them; none: all.
        counted_from: Where the counts of a database are asked, by its name: at a standby of it.
        prepare_after: After how many uses PostgreSQL prepares a statement; 0: never, as a pooler needs it.
        mail_server: The server that takes mail for sending; empty: none is sent.
        mail_port: Its port; none: what is usual for its security.
        mail_security: `starttls`, `tls`, or `none` for a server on this machine.
        mail_user: What the server knows us by; empty: it asks nobody.
        mail_password: What proves it; never shown.
        mail_from: The address that letters come from.
    """

    model_config = SettingsConfigDict(env_prefix="COACH_", frozen=True)

    database: str = Field(default_factory=default_database)
    lessons: Path | None = None
    course: str | None = None
    today: date | None = Field(default=None, ge=FIRST_TODAY, le=LAST_TODAY)
    host: str = "127.0.0.1"
    port: int = Field(default=8420, ge=0, le=LAST_PORT)
    hosts: tuple[str, ...] = ()
    offline: Literal["on", "off"] = "on"
    way: Literal["alone", "home", "hosted"] = "alone"
    tls: bool = False
    tls_port: int = Field(default=8443, ge=0, le=LAST_PORT)
    announce: bool = True
    tls_folder: Path = Field(default_factory=default_tls_folder)
    public_url: Annotated[str, AfterValidator(_as_origin)] | None = None
    certificate: Path | None = None
    key: Path | None = None
    proxies: tuple[str, ...] = ("127.0.0.0/8", "::1")
    push: Literal["on", "off"] = "off"
    push_contact: str = ""
    databases: Annotated[dict[str, str], AfterValidator(_as_names)] = {}
    new_homes: tuple[str, ...] = ()
    counted_from: dict[str, str] = {}
    prepare_after: int = Field(default=PREPARE_AFTER, ge=0, le=MOST_USES)
    mail_server: str = ""
    mail_port: int | None = Field(default=None, ge=1, le=LAST_PORT)
    mail_security: Literal["starttls", "tls", "none"] = "starttls"
    mail_user: str = ""
    mail_password: SecretStr = SecretStr("")
    mail_from: str = ""


def networks_of(settings: Settings) -> tuple[IPv4Network | IPv6Network, ...]:
    """Where reverse proxies ask from.

    Raises:
        Malformed: One of them is neither an address nor a network.
    """
    try:
        return tuple(ip_network(one) for one in settings.proxies)
    except ValueError as error:
        raise Malformed(
            f"The setting proxies has to be {WANTED['proxies']}: {error}. Networks have no host bits set."
        ) from None


def set_outside() -> list[str]:
    """The names of the settings that the environment has, in alphabetical order."""
    named = (f"COACH_{field.upper()}" for field in Settings.model_fields)
    return sorted(name for name in named if name in os.environ)


def read_settings(**named: object) -> Settings:
    """The settings: what is named here before the environment before what holds otherwise.

    Raises:
        Malformed: A value cannot be used; every one is named.
    """
    try:
        return Settings(**named)  # type: ignore[arg-type]  # checked by the model itself
    except ValidationError as error:
        raise Malformed(" ".join(_sentence(fault) for fault in error.errors())) from None
    except SettingsError as error:
        named_by = re.search(r'field "(\w+)"', str(error))
        name = named_by[1] if named_by else "hosts"
        raise Malformed(f"COACH_{name.upper()} has to be {WANTED[name]}.") from None


def _sentence(fault: ErrorDetails) -> str:
    """What is wrong with a setting, and what it can be."""
    name = ".".join(map(str, fault["loc"]))
    # A URL may hold a password.
    value = "so" if name.partition(".")[0] in {"databases", "counted_from"} else f"“{fault['input']}”"
    return f"The setting {name} cannot be {value}. It has to be {WANTED.get(name, fault['msg'])}."
