"""A house in a home network: its own machine's browser, and phones that have to be paired."""

from __future__ import annotations

from datetime import UTC, datetime
from ipaddress import ip_address
from typing import TYPE_CHECKING, Any

from coach.machine.addresses import Address
from coach.machine.tls import HouseholdTls
from coach.web.network import Network
from web.asking import client_of
from web.house import House

if TYPE_CHECKING:
    from pathlib import Path

    from starlette.testclient import TestClient

MACHINE = ("127.0.0.1", 50000)
NETWORK = "http://192.168.50.1:8420"
ORIGIN = {"origin": NETWORK}


def give_certificate(house: House, folder: Path) -> None:
    """Have a house serve TLS at an address, as far as its pages know."""
    found = (Address(ip_address("192.168.50.1"), "wlan0"),)
    tls = HouseholdTls(folder / "certificates", found, datetime.now(UTC))
    house.app.state.network = Network(8420, found, tls=tls, tls_port=8443)


class HomeHouse(House):
    """A house that answers to its home network.

    Attributes:
        http: The browser of the machine itself.
    """

    def __init__(self, folder: Path, **settings: Any) -> None:  # noqa: ANN401  as Settings takes them
        super().__init__(folder, way="home", **settings)
        self.http = client_of(self.app, base_url="http://127.0.0.1:8420", client=MACHINE)

    def phone(self, number: int = 7, base: str = NETWORK) -> TestClient:
        """A browser of another device, which says where its changes come from as browsers do."""
        client = ("fd00::7" if base.startswith("http://[") else f"192.168.50.{number}", 50000)
        return client_of(self.app, base_url=base, client=client, headers={"origin": base})

    def code(self, by: TestClient | None = None, **body: str) -> str:
        """A new pairing code."""
        answer = (by or self.http).post("/api/pairing", json=body)
        assert answer.status_code == 201, answer.text
        return str(answer.json()["code"])

    def paired(self, name: str, number: int = 7, device: str = "phone") -> TestClient:
        """A phone that was let in for somebody."""
        phone = self.phone(number)
        sent = {"code": self.code(), "name": name, "device": device}
        answer = phone.post("/api/pair", json=sent)
        assert answer.status_code == 201, answer.text
        return phone
