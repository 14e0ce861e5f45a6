"""Listening sockets: on this machine alone, in the home network with nobody from beyond it, or for all."""

from __future__ import annotations

import errno
import socket
import struct
from contextlib import suppress
from typing import TYPE_CHECKING, Any, TypeVar
from weakref import WeakSet

from coach.errors import StoreError
from coach.limits import ACCEPTED_AT_ONCE
from coach.machine.addresses import is_at_home

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

LOOPBACK = "127.0.0.1"
EVERYWHERE = ("0.0.0.0", "::")  # noqa: S104  whoever is not at home is hung up on
"""All addresses of the machine, so that one that changes while the service runs needs no restart."""

TRIES = 5
"""How often a free port is looked for that is free on all addresses."""

_NO_SUCH_FAMILY = {errno.EAFNOSUPPORT, errno.EADDRNOTAVAIL, errno.EPROTONOSUPPORT}
_AT_ONCE = struct.pack("ii", 1, 0)
"""SO_LINGER that ends a connection without another word."""


class BoundedSocket(socket.socket):
    """A listening socket that hangs up on whoever it has no room for, before a byte is read or written.

    Attributes:
        accepted: Connections it has accepted that may be open still.
        has_room: Whether another may be accepted; one for which there is no room is hung up on as well.
    """

    accepted: WeakSet[socket.socket]
    has_room: Callable[[], bool]

    def __init__(self, **named: Any) -> None:  # noqa: ANN401  as a socket takes them
        super().__init__(**named)
        self.accepted = WeakSet()
        self.has_room = lambda: True

    def accept(self) -> tuple[socket.socket, Any]:
        """The next connection that is welcome.

        Raises:
            BlockingIOError: There is none now, or there were many that are not; the loop asks again.
        """
        for _ in range(ACCEPTED_AT_ONCE):
            connection, address = super().accept()
            if self._is_welcome(connection) and self.has_room():
                self.accepted.add(connection)
                return connection, address
            _hang_up(connection)
        raise BlockingIOError

    def _is_welcome(self, connection: socket.socket) -> bool:  # noqa: ARG002  whoever comes
        return True


class HomeSocket(BoundedSocket):
    """One that hangs up on whoever is not at home as well."""

    def _is_welcome(self, connection: socket.socket) -> bool:
        return _is_between_addresses_at_home(connection)


S = TypeVar("S", bound=BoundedSocket)


def _is_between_addresses_at_home(connection: socket.socket) -> bool:
    try:
        ends = (connection.getpeername()[0], connection.getsockname()[0])
    except OSError:
        return False
    return all(map(is_at_home, ends))


def _hang_up(connection: socket.socket) -> None:
    with suppress(OSError):
        connection.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, _AT_ONCE)
    connection.close()


def on_this_machine(host: str, port: int) -> list[socket.socket]:
    """A socket on a loopback address.

    Raises:
        StoreError: The port cannot be used.
    """
    return [_bound(host, port, "--port")]


def at_home(hosts: Sequence[str], port: int, option: str = "--port") -> list[HomeSocket]:
    """Sockets on one port of several addresses, on which nobody from beyond the home is heard.

    Args:
        hosts: The addresses. Where the machine has no IPv6, all addresses of that are left out.
        port: The port; 0 takes one that is free on all.
        option: What names another port, for the error.

    Raises:
        StoreError: The port cannot be used.
    """
    return _bound_to_all(HomeSocket, hosts, port, option)


def for_everybody(hosts: Sequence[str], port: int) -> list[BoundedSocket]:
    """Sockets on one port of several addresses, for whoever comes; arguments and errors as for `at_home`."""
    return _bound_to_all(BoundedSocket, hosts, port, "--port")


def _bound_to_all(kind: type[S], hosts: Sequence[str], port: int, option: str) -> list[S]:
    for _ in range(TRIES if port == 0 else 1):
        try:
            return _all_bound(kind, hosts, port, option)
        except StoreError as error:
            refused = error
    raise refused


def _all_bound(kind: type[S], hosts: Sequence[str], port: int, option: str) -> list[S]:
    found: list[S] = []
    try:
        for host in hosts:
            try:
                plain = _bound(host, port, option)
            except StoreError as error:
                if host == EVERYWHERE[1] and _is_no_such_family(error):
                    continue
                raise
            found.append(kind(fileno=plain.detach()))
            port = found[0].getsockname()[1]
    except StoreError:
        for one in found:
            one.close()
        raise
    return found


def _is_no_such_family(error: StoreError) -> bool:
    cause = error.__cause__
    return isinstance(cause, OSError) and cause.errno in _NO_SUCH_FAMILY


def _bound(host: str, port: int, option: str) -> socket.socket:
    """A listening socket, opened before anything else is touched."""
    host = host.strip("[]")
    try:
        family = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0][0]
        listening = socket.create_server((host, port), family=family)
    except OSError as error:
        where = "" if host in EVERYWHERE else f" on {host}"
        raise StoreError(
            f"Port {port}{where} cannot be used: {error.strerror}. Choose another with {option}; "
            "0 takes a free one."
        ) from error
    # Its connections inherit this. Without it the end of every answer waits 40 ms for the client to confirm
    # the beginning, since asyncio sets it only on sockets that name their protocol.
    listening.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
    return listening
