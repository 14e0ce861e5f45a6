"""One plain letter by mail: no pictures, and nothing in it that tells whether it was read."""

from __future__ import annotations

import re
from contextlib import contextmanager
from dataclasses import dataclass
from email.utils import format_datetime, make_msgid, parseaddr
from ssl import create_default_context
from time import monotonic
from typing import TYPE_CHECKING, Literal
from urllib.parse import quote

from coach.machine.addresses import host_is_loopback
from coach.machine.delivery import SENT, Delivery, cause_of
from coach.machine.outside import first_reached, looked_up

if TYPE_CHECKING:
    import smtplib
    import socket
    import ssl
    from collections.abc import Callable, Iterator
    from datetime import datetime
    from email.message import EmailMessage

Security = Literal["starttls", "tls", "none"]

PORTS: dict[Security, int] = {"starttls": 587, "tls": 465, "none": 25}
"""Where mail is handed in (RFC 6409 §3.1, RFC 8314 §3.3, RFC 5321 §4.5.4.2)."""

STEP_SECONDS = 10
"""How long the mail server may take for one step."""

SECONDS = 30
"""How long a letter may take in all."""

ADDRESS_CHARACTERS = 254
"""How long a mailbox's address may be (RFC 5321 §4.5.3.1.3, less its brackets)."""

SUBJECT_CHARACTERS = 200

_LOCAL = re.compile(r"[^\s\x00-\x20\x7f-\x9f@\"(),:;<>\[\\\]]+")
_DOMAIN = re.compile(r"(?!-)[^\s\x00-\x2c/:-@\[-`{-\x9f]+(?<!-)")
_STATE = re.compile(r"[245]\.\d{1,3}\.\d{1,3}\b")
"""What a server says beside its code, for programs (RFC 3463)."""

_NOBODY = "5.1.1"
"""There is no such mailbox (RFC 3463 §3.2)."""

_FOR_GOOD, _NOT_LET_IN = 500, 535
"""From where on a server means it (RFC 5321 §4.2.1), and a wrong password (RFC 4954 §6)."""

_LINE_ENDS = re.compile(r"[\s\x00-\x1f\x7f-\x9f\u2028\u2029]+")


@dataclass(frozen=True, slots=True)
class MailServer:
    """Where letters are handed in.

    Attributes:
        host: Its name or address.
        port: Its port.
        security: `starttls`: TLS after the greeting, or nothing is sent; `tls`: from the first byte; `none`.
        sender: The address that letters come from, with a name before it or not.
        user: What it knows us by; empty: it asks nobody.
        password: And what proves it.
    """

    host: str
    port: int
    security: Security
    sender: str
    user: str = ""
    password: str = ""

    def __repr__(self) -> str:
        """Without the password."""
        return f"MailServer({self.host!r}, {self.port}, {self.security!r}, {self.sender!r}, {self.user!r})"

    @property
    def fault(self) -> str:
        """What of it makes no sense, in a sentence; empty where nothing is wrong."""
        sender = parseaddr(self.sender)[1]
        if fault := address_fault(sender):
            return f"Letters have no sender: {fault}"
        if not sender.isascii():
            return "Letters have a sender whose address is written in a to z."
        if bool(self.user) != bool(self.password):
            return "A mail server is given a user and a password, or neither."
        if self.user and self.security == "none" and not host_is_loopback(self.host):
            return "Without TLS the password could be read on its way; use starttls or tls."
        return ""


@dataclass(frozen=True, slots=True)
class Mail:
    """What a letter says.

    Attributes:
        to: The address it goes to.
        subject: One line.
        text: What it says, with the link to open.
        stop: The link that ends these letters; empty: one ends them by writing to the sender.
        one_click: Whether a mail program may follow that by itself: it has to be reached from everywhere
            (RFC 8058).
    """

    to: str
    subject: str
    text: str
    stop: str = ""
    one_click: bool = False


def address_fault(address: str) -> str:
    """Why nothing can be sent to an address, in words; empty where that can be tried.

    Letters beyond a to z are let through, on both sides of the @; whether the mail server takes them is
    known when one is sent.
    """
    local, at, domain = address.rpartition("@")
    labels = domain.split(".")
    if not address.isprintable() or len(address.encode()) > ADDRESS_CHARACTERS:
        return "That is no e-mail address."
    if not at or not _LOCAL.fullmatch(local) or ".." in f".{local}.":
        return "An e-mail address looks like ana@home.example."
    if len(labels) == 1 or not all(map(_DOMAIN.fullmatch, labels)):
        return "An e-mail address ends in the name of its mail service, such as home.example."
    return ""


def composed(server: MailServer, mail: Mail, now: datetime) -> EmailMessage:
    """The letter as it is handed in.

    What is written in a header stays in it: ends of lines in a subject become spaces, and an address with
    one has been refused.

    Raises:
        ValueError: An address is none.
    """
    from email import policy  # noqa: PLC0415  of use only where mail is set, as are the next
    from email.headerregistry import Address  # noqa: PLC0415
    from email.message import EmailMessage  # noqa: PLC0415

    name, address = parseaddr(server.sender)
    message = EmailMessage(policy.SMTP)
    message["From"] = Address(_one_line(name), *_halves(address))
    message["To"] = Address("", *_halves(mail.to))
    message["Subject"] = _one_line(mail.subject)[:SUBJECT_CHARACTERS]
    message["Date"] = format_datetime(now)
    message["Message-ID"] = make_msgid(domain=address.rpartition("@")[2])
    # Programs that answer letters by themselves leave it alone (RFC 3834 §5).
    message["Auto-Submitted"] = "auto-generated"
    if mail.stop.startswith("https://") and mail.one_click:
        message["List-Unsubscribe"] = f"<{mail.stop}>"
        message["List-Unsubscribe-Post"] = "List-Unsubscribe=One-Click"
    else:
        message["List-Unsubscribe"] = f"<mailto:{quote(address, safe='@')}?subject=stop>"
    message.set_content(mail.text)
    return message


def sent(
    server: MailServer, mail: Mail, now: datetime, context: Callable[[], ssl.SSLContext] | None = None
) -> Delivery:
    """Hand in one letter, and say what came of it.

    Args:
        server: Where.
        mail: What.
        now: When it is written.
        context: What the server has to prove that it is who it says; none: what the system trusts.
    """
    if fault := server.fault or address_fault(mail.to):
        return Delivery("refused", fault)
    try:
        message = composed(server, mail, now)
    except ValueError:
        return Delivery("refused", "What it says cannot be written as mail.")
    return _tried(server, context, lambda line: line.send_message(message))


def reached(server: MailServer, context: Callable[[], ssl.SSLContext] | None = None) -> Delivery:
    """Let a mail server let us in, hand in nothing, and say what came of it."""
    if fault := server.fault:
        return Delivery("refused", fault)
    return _tried(server, context, lambda line: line.noop())


def _tried(
    server: MailServer,
    context: Callable[[], ssl.SSLContext] | None,
    act: Callable[[smtplib.SMTP], object],
) -> Delivery:
    """What comes of doing something with a mail server."""
    import smtplib  # noqa: PLC0415  of use only where mail is set, as is the next

    from coach.machine.mail_line import Unanswered  # noqa: PLC0415

    try:
        with connected(server, context) as line:
            act(line)
    except smtplib.SMTPNotSupportedError as error:
        return Delivery("refused", _lacking(error))
    except smtplib.SMTPRecipientsRefused as error:
        return _of_answer(*next(iter(error.recipients.values())))
    except smtplib.SMTPResponseException as error:
        return _of_answer(error.smtp_code, error.smtp_error)
    except Unanswered:
        # Better none than two: trying again would bring the same letter twice.
        return Delivery("refused", "The mail server did not say whether it took the letter.")
    except (OSError, EOFError) as error:
        # An SMTPException is an OSError, too.
        return Delivery("later", f"The mail server was not reached: {cause_of(error)}.")
    return SENT


@contextmanager
def connected(
    server: MailServer, context: Callable[[], ssl.SSLContext] | None = None
) -> Iterator[smtplib.SMTP]:
    """A mail server that has let us in, for as long as a letter may take.

    Raises:
        smtplib.SMTPException: It does not.
        OSError: It is not reached, or takes too long.
    """
    from coach.machine.mail_line import Line, cut_off_after  # noqa: PLC0415

    trusted = context or create_default_context
    way = _reached(server)
    with way, cut_off_after(SECONDS, way):
        by_tls = server.security == "tls"
        with trusted().wrap_socket(way, server_hostname=server.host) if by_tls else way as spoken:
            line = Line(spoken, server.host)
            try:
                if server.security == "starttls":
                    line.starttls(context=trusted())
                if server.user:
                    line.login(server.user, server.password)
                yield line
            finally:
                line.leave()


def _reached(server: MailServer) -> socket.socket:
    """A connection to a mail server, whose name is looked up no longer than any other."""
    addresses = looked_up(server.host, server.port)
    if not addresses:
        raise OSError(f"{server.host} is not found")
    way = first_reached(addresses, server.port, monotonic() + STEP_SECONDS)
    way.settimeout(STEP_SECONDS)
    return way


def _of_answer(code: int, said: bytes | str) -> Delivery:
    """What a mail server means that does not take a letter.

    Its own words may hold the address, so they are not handed on.
    """
    words = said.decode("ascii", "replace") if isinstance(said, bytes) else said
    state = found.group() if (found := _STATE.match(words)) else ""
    if code < _FOR_GOOD:
        return Delivery("later", f"The mail server answers {code} {state}".rstrip() + ".")
    if state == _NOBODY:
        return Delivery("gone", "There is no such mailbox.")
    if code == _NOT_LET_IN:
        return Delivery("refused", "The mail server does not take the user and the password.")
    return Delivery("refused", f"The mail server answers {code} {state}".rstrip() + ".")


def _lacking(error: Exception) -> str:
    said = str(error)
    if "STARTTLS" in said:
        return "The mail server offers no STARTTLS, and without it nothing is sent."
    if "AUTH" in said:
        return "The mail server does not offer to take a user and a password."
    return "The mail server takes no addresses with letters beyond a to z."


def _halves(address: str) -> tuple[str, str]:
    local, _, domain = address.rpartition("@")
    return local, domain


def _one_line(text: str) -> str:
    return _LINE_ENDS.sub(" ", text).strip()
