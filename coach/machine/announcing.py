"""Telling the home's network where `steading.local` is, by multicast DNS (RFC 6762 and RFC 6763)."""

from __future__ import annotations

import threading
from contextlib import suppress
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

_SERVER = f"{LOCAL_NAME}."


class Announcing:
    """The name on the network, announced from a thread of its own: no start waits for it or fails by it.

    Args:
        port: Where the service listens.
        tell: Takes a sentence that says why the name is not announced.
        secure: Whether the service speaks TLS.
    """

    def __init__(self, port: int, tell: Callable[[str], None], *, secure: bool = False) -> None:
        self._port = port
        self._tell = tell
        self._kind = SECURE_WEB if secure else WEB
        self._told: tuple[Address, ...] = ()
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
        thread, self._thread, self._told = self._thread, None, ()
        self._ended.set()
        if thread is not None:
            thread.join(ENDING_SECONDS)

    def _announce(self, told: Sequence[Address], ended: threading.Event) -> None:
        """Hold the name until the end; whatever goes wrong is told and harms nothing else."""
        if not told:
            self._tell(f"{LOCAL_NAME} is not announced: this machine has no address in a home's network.")
            return
        try:
            with speaker(told) as voice:
                if others := set(answers(voice)) - {str(one.ip) for one in told}:
                    self._tell(_taken(others))
                    return
                if ended.is_set():
                    return
                voice.register_service(_service(told, self._kind, self._port), allow_name_change=True)
                ended.wait()
                with suppress(OSError, TimeoutError, ZeroconfError):
                    voice.unregister_all_services()
        except (OSError, TimeoutError, ZeroconfError) as error:
            self._tell(
                f"{LOCAL_NAME} is not announced: this network or machine does not let multicast DNS through "
                f"({type(error).__name__}). Use the address itself."
            )


def speaker(found: Sequence[Address]) -> Zeroconf:
    """Whoever speaks and listens on the adapters of these addresses; to be closed.

    Raises:
        OSError: The system does not let it.
    """
    places = [str(one.ip) for one in found if one.ip.version == 4] or [str(one.ip) for one in found]  # noqa: PLR2004  IPv4
    return Zeroconf(interfaces=places)


def answers(voice: Zeroconf) -> tuple[str, ...]:
    """The addresses that the network gives for `steading.local` at present."""
    asked = AddressResolver(_SERVER)
    # Asked of all: an answer to the asker alone would go to whichever program of this machine listens first.
    asked.request(voice, ASK_MS, DNSQuestionType.QM)
    return tuple(asked.parsed_addresses())


def _service(told: Sequence[Address], kind: str, port: int) -> ServiceInfo:
    addresses = [str(one.ip) for one in told]
    return ServiceInfo(kind, f"{INSTANCE}.{kind}", port, server=_SERVER, parsed_addresses=addresses)


def _taken(others: Iterable[str]) -> str:
    where = ", ".join(sorted(others))
    return (
        f"{LOCAL_NAME} is not announced: another machine in this network has the name ({where}). "
        "Use the address itself, or end the other."
    )
