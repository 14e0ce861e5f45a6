"""Debian's Chromium trusts the authority for the home's own names and addresses, and for no others."""

from __future__ import annotations

import os
import shutil
import ssl
import subprocess
import threading
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from ipaddress import ip_address
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import Error, sync_playwright

from browser.conftest import ARGUMENTS, CHROMIUM
from coach.machine import leaf
from coach.machine.authority import PUBLIC_FILE
from machine.places import NOW

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Page

    from coach.machine.authority import Authority

pytestmark = pytest.mark.browser

OWN, BANK = "steading.home.arpa", "bank.example"
SERVERS = {
    OWN: ([OWN, "steading.local"], ["192.168.1.20"]),
    BANK: ([BANK], []),
    # The name is the home's own, and yet not all that this certificate is for.
    "steading.local": (["steading.local"], ["203.0.113.9"]),
}


class Hello(BaseHTTPRequestHandler):
    """A page that says where it is."""

    def do_GET(self) -> None:
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.end_headers()
        self.wfile.write(b"<title>At home</title>")

    def log_message(self, *_said: object) -> None:
        """Say nothing."""


def missing() -> str:
    """Which program is not here."""
    if not CHROMIUM.exists():
        return "there is no /usr/bin/chromium (Debian: chromium)"
    return "" if shutil.which("certutil") else "there is no certutil (Debian: libnss3-tools)"


@contextmanager
def serving(home: Authority, folder: Path, name: str) -> Iterator[int]:
    """A server on a free port of this machine, with a certificate that the authority signed."""
    names, addresses = SERVERS[name]
    file = folder / f"{name}.pem"
    file.write_bytes(leaf.sign(home, names, [ip_address(one) for one in addresses], NOW))
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(file)
    with ThreadingHTTPServer(("127.0.0.1", 0), Hello) as server:
        server.socket = context.wrap_socket(server.socket, server_side=True)
        thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.05})
        thread.start()
        try:
            yield server.server_port
        finally:
            server.shutdown()
            thread.join()


def trust(home: Authority, folder: Path) -> None:
    """Have the authority trusted by whatever browser has this folder as its home."""
    store = folder / ".pki" / "nssdb"
    store.mkdir(parents=True)
    given = ("-t", "C,,", "-n", home.name, "-i", str(home.folder / PUBLIC_FILE))
    for arguments in (("-N", "--empty-password"), ("-A", *given)):
        subprocess.run(["certutil", "-d", f"sql:{store}", *arguments], check=True, capture_output=True)


@pytest.fixture(scope="module")
def page(home: Authority, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """A page of a browser that trusts the authority, and for which the names lead to the three servers."""
    if reason := missing():
        if os.environ.get("COACH_REQUIRE_ALL") == "1":
            pytest.fail(reason)
        pytest.skip(reason)
    folder = tmp_path_factory.mktemp("browser")
    trust(home, folder)
    with (
        serving(home, folder, OWN) as own,
        serving(home, folder, BANK) as bank,
        serving(home, folder, "steading.local") as mixed,
        sync_playwright() as playwright,
    ):
        ports = {OWN: own, "192.168.1.20": own, BANK: bank, "steading.local": mixed}
        rules = ", ".join(f"MAP {name} 127.0.0.1:{port}" for name, port in ports.items())
        browser = playwright.chromium.launch(
            executable_path=CHROMIUM,
            args=[*ARGUMENTS, f"--host-resolver-rules={rules}"],
            env={**os.environ, "HOME": str(folder)},
        )
        yield browser.new_page()
        browser.close()


@pytest.mark.parametrize("name", [OWN, "192.168.1.20"])
def test_the_homes_own_name_and_address_open_and_may_work_without_network(page: Page, name: str) -> None:
    page.goto(f"https://{name}/")
    assert page.title() == "At home"
    assert page.evaluate("isSecureContext && 'serviceWorker' in navigator")


@pytest.mark.parametrize("name", [BANK, "steading.local"])
def test_what_it_signed_beyond_its_limits_does_not_open(page: Page, name: str) -> None:
    with pytest.raises(Error, match="net::ERR_CERT_INVALID"):
        page.goto(f"https://{name}/")
