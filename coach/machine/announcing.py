"""Telling the home's network where `steading.local` is, by multicast DNS (RFC 6762 and RFC 6763)."""

from __future__ import annotations

import threading
from ipaddress import IPv4Address
from typing import TYPE_CHECKING

from zeroconf import AddressResolver, DNSQuestionType, ServiceInfo, Zeroconf  # type: ignore[attr-defined]
from zeroconf import Error as ZeroconfError

from coach.machine.addresses import LOCAL_NAME, offered

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from coach.machine.addresses import Address

WEB, SECURE_WEB = "_http._tcp.local.", "_https._tcp.local."
INSTANCE = "Steading"

ASK_MS = 2000
"""How long others have to say that the name is theirs, in milliseconds."""

ENDING_SECONDS = 3
"""How long the end of the service waits for the name to be taken back."""


class Announcing:
    """The name on the network, announced from a thread of its own: no start waits for it or fails by it.

    Args:
        port: Where the service listens.
        tell: Takes a sentence that says why the name is not announced.
        secure: Whether the service speaks TLS.
        name: The host name; it ends in `.local`.
    """

    def __init__(
        self, port: int, tell: Callable[[str], None], *, secure: bool = False, name: str = LOCAL_NAME
    ) -> None:
        self._port = port
        self._name = name
        self._tell = tell
        self._kind = SECURE_WEB if secure else WEB
        self._told: tuple[Address, ...] | None = None
        self._thread: threading.Thread | None = None
        self._ended = threading.Event()

    def start(self, found: Iterable[Address]) -> None:
        """Begin to announce these addresses, or go on with them in the place of others."""
        told = offered(found)
        if told == self._told:
            return
        self.stop()
        self._told = told
        self._ended = threading.Event()
        self._thread = threading.Thread(
            target=self._announce, args=(told, self._ended), name="steading-name", daemon=True
        )
        self._thread.start()

    def stop(self) -> None:
        """Take the name back, so that phones do not look for what has gone; once is as good as twice."""
        thread, self._thread, self._told = self._thread, None, None
        self._ended.set()
        if thread is not None:
            thread.join(ENDING_SECONDS)

    def _announce(self, told: Sequence[Address], ended: threading.Event) -> None:
        """Hold the name until the end; whatever goes wrong is told and harms nothing else."""
        if not told:
            self._say(
                "this machine has no address in a home's network. Connect it, and start Steading again."
            )
            return
        try:
            with speaker(told) as voice:
                self._hold(voice, told, ended)
        except (OSError, RuntimeError, TimeoutError, ZeroconfError) as error:
            self._say(
                "multicast DNS does not get through this machine or its network "
                f"({type(error).__name__}). Use the address itself."
            )

    def _hold(self, voice: Zeroconf, told: Sequence[Address], ended: threading.Event) -> None:
        if others := set(answers(voice, self._name)) - {str(one.ip) for one in told}:
            where = ", ".join(sorted(others))
            self._say(f"another machine has the name already ({where}). Use the address, or end the other.")
            return
        if ended.is_set():
            return
        voice.register_service(self._service(told), allow_name_change=True)
        ended.wait()
        voice.unregister_all_services()

    def _service(self, told: Sequence[Address]) -> ServiceInfo:
        return ServiceInfo(
            self._kind,
            f"{INSTANCE}.{self._kind}",
            self._port,
            server=f"{self._name}.",
            parsed_addresses=[str(one.ip) for one in told],
        )

    def _say(self, why: str) -> None:
        self._tell(f"{self._name} is not announced: {why}")


def speaker(found: Sequence[Address]) -> Zeroconf:
    """Whoever speaks and listens on the adapters of these addresses; to be closed.

    Raises:
        OSError: The system does not let it.
    """
    by_ipv4 = [str(one.ip) for one in found if isinstance(one.ip, IPv4Address)]
    return Zeroconf(interfaces=by_ipv4 or [str(one.ip) for one in found])


def answers(voice: Zeroconf, name: str = LOCAL_NAME) -> tuple[str, ...]:
    """The addresses that the network gives for a name at present."""
    asked = AddressResolver(f"{name}.")
    # Asked of all: an answer to the asker alone would go to whichever program of this machine listens first.
    asked.request(voice, ASK_MS, DNSQuestionType.QM)
    return tuple(asked.parsed_addresses())
