"""What `coach serve --hosted` needs: a public address, a proxy or a certificate, and sockets for either."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.errors import Malformed
from coach.machine.addresses import host_is_loopback
from coach.machine.given_tls import GivenTls
from coach.settings import networks_of
from coach.web import listening
from coach.web.hosts import host_name
from coach.web.server import Secure

if TYPE_CHECKING:
    from collections.abc import Iterator
    from contextlib import ExitStack

    from coach.settings import Settings

NO_ADDRESS = (
    "--hosted needs --public-url: the address under which households and coaches find it, such as "
    "https://steading.example. Sessions, links and printed invitations are made for it."
)
NOT_PRIVATE = (
    "The public address has to begin with https://: what people show to be let in goes over it. Plain http "
    "is for http://localhost alone, to try it out."
)
BOTH = "--certificate and --key belong together: name both files, or neither and put a proxy in front."
NOT_HERE = "--certificate and --key are for --hosted. At home use --tls, which makes a certificate itself."
NO_TLS = "--tls makes a home's own certificate. Hosted, use --certificate and --key, or a reverse proxy."
NO_NEED = "A certificate is for a public address that begins with https://."


def check(settings: Settings) -> None:
    """Refuse what does not fit the way it is to be served.

    Raises:
        Malformed: Something is missing or does not go together.
    """
    has_certificate = bool(settings.certificate or settings.key)
    if settings.way != "hosted":
        if has_certificate:
            raise Malformed(NOT_HERE)
        return
    if settings.public_url is None:
        raise Malformed(NO_ADDRESS)
    scheme, _, host = settings.public_url.partition("://")
    if scheme != "https" and not host_is_loopback(host_name(host)):
        raise Malformed(NOT_PRIVATE)
    if settings.tls:
        raise Malformed(NO_TLS)
    if has_certificate and not (settings.certificate and settings.key):
        raise Malformed(BOTH)
    if has_certificate and scheme != "https":
        raise Malformed(NO_NEED)
    networks_of(settings)


class Hosted:
    """What is listened on where many households are hosted.

    Args:
        settings: What was asked for, and checked.
        until: Closes the sockets.

    Attributes:
        sockets: Where plain http is spoken, for a proxy; none where TLS is.
        tls: What TLS is spoken with; none: a proxy speaks it.
        secure: Where TLS is spoken; none: it is not.

    Raises:
        StoreError: The port cannot be used.
        NotReady: The certificate or its key cannot be used.
    """

    def __init__(self, settings: Settings, until: ExitStack) -> None:
        self.tls: GivenTls | None = None
        self.secure: Secure | None = None
        if settings.certificate and settings.key:
            self.tls = GivenTls(settings.certificate, settings.key)
            everywhere = "host" not in settings.model_fields_set
            hosts = listening.EVERYWHERE if everywhere else (settings.host,)
            open_to_all = listening.for_everybody(hosts, settings.port)
            for one in open_to_all:
                until.enter_context(one)
            self.secure = Secure(open_to_all, self.tls.context)
        self.sockets = [] if self.secure else listening.on_this_machine(settings.host, settings.port)
        for plain in self.sockets:
            until.enter_context(plain)

    def look(self) -> None:
        """Show a certificate that was renewed since, from the next connection on."""
        if self.tls is not None:
            self.tls.renew()

    def told(self, settings: Settings, *, has_coach: bool) -> Iterator[str]:
        """The lines that say where it is."""
        if not self.secure:
            host, port = self.sockets[0].getsockname()[:2]
            shown = f"[{host}]" if ":" in host else host
            if settings.public_url != f"http://localhost:{port}":
                yield f"Steading listens on http://{shown}:{port}, for the reverse proxy in front of it."
        yield f"Steading is at {settings.public_url}/ (Ctrl+C ends it)"
        if not has_coach:
            yield "Nobody is let in yet. Invite the first coach: coach invite --coach NAME"
