"""A machine's addresses and its household's authority, made up for a test."""

from __future__ import annotations

import shutil
import socket
import ssl
import threading
from datetime import UTC, datetime
from ipaddress import ip_address
from typing import TYPE_CHECKING

import ifaddr

from coach.machine import authority
from coach.machine.addresses import Address

if TYPE_CHECKING:
    from pathlib import Path

    from coach.machine.authority import Authority

NOW = datetime.now(UTC)
"""OpenSSL and browsers go by the real clock."""

WIFI = Address(ip_address("192.168.1.20"), "wlan0")
HOME = (WIFI, Address(ip_address("fd12:3456::20"), "wlan0"))


def adapter(name: str, *addresses: str) -> ifaddr.Adapter:
    """An adapter as the library tells of it."""
    found = [ifaddr.IP((one, 0, 2) if ":" in one else one, 24, name) for one in addresses]
    return ifaddr.Adapter(name, name, found)


def household(folder: Path) -> Authority:
    """A household's authority in a folder below this one."""
    return authority.open_or_make(folder / "certificates", NOW)


def copied(made: Authority, folder: Path) -> Path:
    """The folder of an authority, copied with its modes, to be spoilt."""
    return shutil.copytree(made.folder, folder / "copied")


def handshake(shown: ssl.SSLContext, trusted: bytes, name: str) -> bytes:
    """Shake hands as a browser would, and give the certificate that was shown.

    Raises:
        ssl.SSLCertVerificationError: The client refuses it.
    """
    client = ssl.create_default_context(cadata=trusted.decode())
    near, far = socket.socketpair()
    with near, far:
        near.settimeout(10)
        far.settimeout(10)
        serving = threading.Thread(target=_serve, args=(shown, far))
        serving.start()
        try:
            with client.wrap_socket(near, server_hostname=name) as wrapped:
                found = wrapped.getpeercert(binary_form=True)
                wrapped.recv(1)
        finally:
            near.close()
            serving.join()
    assert found is not None
    return found


def _serve(shown: ssl.SSLContext, far: socket.socket) -> None:
    try:
        with shown.wrap_socket(far, server_side=True) as wrapped:
            wrapped.send(b"!")
    except (ssl.SSLError, OSError):
        pass  # The client says what it did not like.
