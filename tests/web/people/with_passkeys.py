"""A house of the home network that speaks TLS under its name, and devices that keep passkeys."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from typing import TYPE_CHECKING, Any

from coach.machine.addresses import Address
from coach.machine.tls import HouseholdTls
from coach.web.network import Network
from web.at_home import HomeHouse
from web.people.authenticator import Device

if TYPE_CHECKING:
    from pathlib import Path

    from fastapi.testclient import TestClient
    from httpx2 import Response

NAME = "steading.home.arpa"
ORIGIN = f"https://{NAME}:8443"


class KeyHouse(HomeHouse):
    """It begins, and Ana's phone is paired by its name over TLS."""

    def __init__(self, folder: Path, **settings: Any) -> None:  # noqa: ANN401  as Settings takes them
        super().__init__(folder, **settings)
        found = (Address(ip_address("192.168.50.1"), "wlan0"),)
        tls = HouseholdTls(folder / "certificates", found, datetime.now(UTC))
        self.app.state.network = Network(8420, found, tls=tls, tls_port=8443)
        self.start()
        self.ana = self.secure("Ana")

    def secure(self, name: str = "", number: int = 7) -> TestClient:
        """A phone that asks by the house's name over TLS; paired for somebody, if a name is given."""
        phone = self.phone(number, ORIGIN)
        if name:
            sent = {"code": self.code(), "name": name, "device": "phone"}
            assert phone.post("/api/pair", json=sent).status_code == 201
        return phone

    def later(self, **span: int) -> None:
        """So much time goes by."""
        self.now += timedelta(**span)

    def door(self) -> list[tuple[str, str]]:
        """What happened at the door, the newest first."""
        with self.app.state.context.store.people_reading() as reading:
            return [(one.way, one.outcome) for one in reading.sign_ins("home", 50)]


def added(by: TestClient, device: Device | None = None, name: str = "blue phone") -> Device:
    """A device on which somebody added a passkey."""
    device = device or Device(ORIGIN)
    options = by.post("/api/passkeys/begin", json={}).json()["publicKey"]
    answer = by.post("/api/passkeys", json={"answer": device.create(options), "name": name})
    assert answer.status_code == 201, answer.text
    return device


def asked(by: TestClient) -> dict[str, Any]:
    """What a browser is given to ask for a passkey with."""
    options: dict[str, Any] = by.post("/api/sign-in/begin").json()["publicKey"]
    return options


def sign_in(by: TestClient, device: Device) -> Response:
    """Sign in by a device's passkey."""
    return by.post("/api/sign-in", json={"answer": device.get(asked(by)), "device": "new phone"})
