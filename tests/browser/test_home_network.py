"""A phone in the home network: scanned, paired and marked; what browsers send there; who is not heard."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest
from playwright.sync_api import expect, sync_playwright

from browser import lan as home_network
from browser.conftest import CHROMIUMS
from browser.lan import HOUSE, HOUSE6, PUBLIC, Lan, lan
from browser.test_every_page import sized
from browser.visitor import PHONE as HAND
from coach.machine import authority
from commands.running import COACH, PATIENCE
from machine.test_browser_limits import trust
from machine.test_code_picture import pixels_of_svg, seen

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from playwright.sync_api import Browser, Page, Request

pytestmark = pytest.mark.browser

PLAIN, SECURE = f"http://{HOUSE}:8420", f"https://{HOUSE}:8443"
NAMED = "https://steading.home.arpa:8443"
MOST_TAPS, MOST_SECONDS = 3, 30
FORM = '<form method="post" action="{}/api/start"><button>Send</button></form>'
"""A form of another site, which would begin a household."""


@pytest.fixture(scope="module")
def network() -> Iterator[Lan]:
    home_network.need()
    with lan() as found:
        yield found


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("home-network")


@pytest.fixture(scope="module")
def service(network: Lan, folder: Path) -> Iterator[str]:
    """The service in the house; what it printed."""
    process = subprocess.Popen(
        network.house.command(
            *COACH, "serve", "--home", "--tls", "--database", f"sqlite:///{folder / 'home.db'}"
        ),
        stdout=subprocess.PIPE,
        text=True,
        env={
            **os.environ,
            "PYTHONUNBUFFERED": "1",
            "COACH_ANNOUNCE": "false",
            "COACH_TLS_FOLDER": str(folder / "certificates"),
        },
    )
    assert process.stdout is not None
    said = ""
    while "/devices on this machine" not in said:
        line = process.stdout.readline()
        assert line, said
        said += line
    yield said
    process.send_signal(signal.SIGTERM)
    process.wait(PATIENCE)
    process.stdout.close()


@pytest.fixture(scope="module")
def browsers(network: Lan, service: str, folder: Path) -> Iterator[tuple[Browser, Browser]]:
    """The machine's own browser, and the phone's, which was told to trust the certificate."""
    assert service
    home = authority.read(folder / "certificates")
    assert home is not None
    (folder / "phone").mkdir()
    trust(home, folder / "phone")
    quicker = next(path for path in CHROMIUMS if path.exists())
    names = f"--host-resolver-rules=MAP steading.home.arpa {HOUSE}, MAP steading.local {HOUSE}"
    with (
        sync_playwright() as playwright,
        network.house.browser(playwright, folder, program=quicker) as machine,
        network.phone.browser(playwright, folder / "phone", names) as phone,
    ):
        yield machine, phone


@pytest.fixture(scope="module")
def machine(browsers: tuple[Browser, Browser]) -> Page:
    """The machine's own browser, in front of a household that has begun."""
    page = browsers[0].new_page()
    page.goto("http://127.0.0.1:8420/start")
    page.get_by_role("button", name="Begin today").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")
    return page


@pytest.fixture
def phone(browsers: tuple[Browser, Browser]) -> Iterator[Page]:
    context = browsers[1].new_context(viewport=sized(HAND))
    context.set_default_timeout(10_000)
    yield context.new_page()
    context.close()


def scanned(machine: Page) -> str:
    """The link in the picture of a new code, as a camera reads it off the machine's page."""
    machine.goto("http://127.0.0.1:8420/devices")
    machine.get_by_role("button", name="Make a code").click()
    svg = machine.locator("svg.code-picture").evaluate("one => new XMLSerializer().serializeToString(one)")
    return seen(pixels_of_svg(svg.encode()))


class Taps:
    """Taps, counted."""

    def __init__(self, page: Page) -> None:
        self.page = page
        self.count = 0

    def on(self, role: str, name: str) -> None:
        """Tap the first of a kind and a name."""
        self.page.get_by_role(role, name=name).first.click()  # type: ignore[arg-type]  # a role of ARIA
        self.count += 1

    def on_text(self, text: str) -> None:
        """Tap what says this."""
        self.page.get_by_text(text).click()
        self.count += 1


@contextmanager
def listening(page: Page) -> Iterator[list[Request]]:
    """What the page sends that changes something, while the block lasts."""
    found: list[Request] = []

    def hear(request: Request) -> None:
        if request.method != "GET":
            found.append(request)

    page.on("request", hear)
    yield found
    page.remove_listener("request", hear)


def paired(phone: Page, link: str, name: str) -> Taps:
    """A phone that follows a link and lets itself in, without the certificate."""
    taps = Taps(phone)
    phone.goto(link)
    if "/trust" in link:
        taps.on("link", "Go on without it")
    say_who(taps, name)
    return taps


def say_who(taps: Taps, name: str) -> None:
    """Pair as somebody new, and come to today."""
    page = taps.page
    expect(page.get_by_role("heading", level=1)).to_have_text("Who are you?")
    if page.get_by_text("Somebody new").count():
        taps.on_text("Somebody new")
    page.get_by_label("Your name").fill(name)
    taps.on("button", "Pair under this name")
    expect(page.get_by_role("heading", level=1)).to_have_text("Today")


def test_from_the_camera_to_the_first_mark_and_what_plain_http_sends(machine: Page, phone: Page) -> None:
    link = scanned(machine)
    assert re.fullmatch(rf"{PLAIN}/trust#[B-Z]{{8}}", link)
    begun = time.monotonic()
    taps = paired(phone, link, "Ana")
    with listening(phone) as sent:
        taps.on("button", ": kept")
        expect(phone.locator(".stamp")).to_have_text("Kept")
    assert time.monotonic() - begun <= MOST_SECONDS
    assert taps.count <= MOST_TAPS
    # The machine's own browser sees it, and plain http left the guard nothing but Origin to go by.
    machine.goto("http://127.0.0.1:8420/today")
    expect(machine.locator(".stamp")).to_have_text("Kept")
    headers = sent[0].all_headers()
    assert headers["origin"] == PLAIN
    assert not [name for name in headers if name.startswith("sec-fetch")]
    assert not phone.evaluate("isSecureContext")


def status_of_a_form_elsewhere(phone: Page, site: str, ours: str) -> tuple[int, dict[str, str]]:
    """What a form of another site is answered with that sends to ours, and what the browser said of it."""
    phone.route(f"{site}/**", lambda route: route.fulfill(body=FORM.format(ours), content_type="text/html"))
    phone.goto(f"{site}/form")
    # A browser whose requests are looked into does not tell all that it sends.
    phone.unroute_all()
    with phone.expect_response(f"{ours}/api/start") as answered:
        phone.get_by_role("button", name="Send").click()
    return answered.value.status, answered.value.request.all_headers()


def test_by_plain_http_a_form_of_another_site_is_refused_by_its_origin(machine: Page, phone: Page) -> None:
    paired(phone, scanned(machine), "Ben")
    status, headers = status_of_a_form_elsewhere(phone, "http://tern-street.example", PLAIN)
    assert status == 403
    assert headers["origin"] == "http://tern-street.example"
    assert "sec-fetch-site" not in headers


def test_by_https_a_form_of_another_site_is_refused_by_what_the_browser_says(
    machine: Page, phone: Page
) -> None:
    code = scanned(machine).partition("#")[2]
    phone.goto(f"{NAMED}/pair#{code}")
    with listening(phone) as sent:
        say_who(Taps(phone), "Cleo")
    assert sent[0].all_headers()["sec-fetch-site"] == "same-origin"
    [cookie] = phone.context.cookies()
    assert (cookie["name"], cookie["secure"], cookie["httpOnly"]) == ("__Host-steading", True, True)
    status, headers = status_of_a_form_elsewhere(phone, "https://tern-street.example", NAMED)
    assert (status, headers["sec-fetch-site"]) == (403, "cross-site")


@pytest.mark.parametrize("address", [NAMED, SECURE, "https://steading.local:8443"])
def test_with_the_certificate_trusted_it_opens_without_a_warning_and_may_work_without_network(
    machine: Page, phone: Page, address: str
) -> None:
    machine.bring_to_front()
    answer = phone.goto(f"{address}/trust")
    assert answer is not None
    assert answer.status == 200
    expect(phone.get_by_text("This page came by https")).to_be_visible()
    assert phone.evaluate("isSecureContext && 'caches' in window")
    assert (
        phone.evaluate("navigator.serviceWorker.register('/sw.js').then(one => one.scope)") == f"{address}/"
    )


def test_whoever_is_beyond_the_home_hears_no_byte(network: Lan, service: str) -> None:
    assert PLAIN in service
    places = [f"{host}:{port}" for host in (HOUSE, PUBLIC) for port in (8420, 8443)]
    assert network.beyond.heard(*places) == dict.fromkeys(places, "")
    # The phone is at home, and yet not by the machine's public address.
    heard = network.phone.heard(f"{HOUSE}:8420", f"{PUBLIC}:8420", f"[{HOUSE6}]:8420")
    assert [text[:12] for text in heard.values()] == ["HTTP/1.1 200", "", "HTTP/1.1 200"]


def test_an_address_that_the_router_gives_later_is_answered_on_at_once(network: Lan, service: str) -> None:
    later = "192.168.50.77"
    assert later not in service
    network.house.ip("address", "add", f"{later}/24", "dev", "home0")
    assert network.phone.heard(f"{later}:8420")[f"{later}:8420"].startswith("HTTP/1.1 200")
