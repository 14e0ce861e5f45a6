"""Passkeys and recovery sheets in a real browser, with a device that Chromium plays by its own protocol."""

from __future__ import annotations

import re
import socket
from datetime import timedelta
from typing import TYPE_CHECKING, Any

import pytest

from browser.visitor import NARROW, PAPER, PHONE
from coach.household.devices import new_secret, signed_in
from web.house import House
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import CDPSession, Page

    from browser.visitor import Visitors

pytestmark = pytest.mark.browser


class HostedHouse(LiveHouse):
    """Many households at a name that a browser takes for secure, on this machine."""

    def __init__(self, folder: Any) -> None:  # noqa: ANN401  a folder
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            port = free.getsockname()[1]
        public = f"http://localhost:{port}"
        House.__init__(self, folder, way="hosted", public_url=public)
        self._listen(port)
        self.url = public

    def cookie(self, person: str) -> Any:  # noqa: ANN401  as Playwright takes it
        """What a browser shows in which somebody has just signed in."""
        secret, kept = new_secret()
        with self.app.state.context.store.people_writing() as people:
            people.add_person(person.lower(), person, self.now)
            people.put_member("first", person.lower(), "keeper", self.now)
            people.add_session(kept, signed_in(people, person.lower(), "laptop", self.now))
        return {"name": "steading", "value": secret, "url": self.url}


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[HostedHouse]:
    house = HostedHouse(tmp_path_factory.mktemp("house"))
    yield house
    house.close()


def device(page: Page, *, verified: bool = True) -> CDPSession:
    """A device that keeps passkeys, unlocked by a finger or not, in a browser."""
    session = page.context.new_cdp_session(page)
    session.send("WebAuthn.enable")
    options = {
        "protocol": "ctap2",
        "transport": "internal",
        "hasResidentKey": True,
        "hasUserVerification": True,
        "isUserVerified": verified,
        "automaticPresenceSimulation": True,
    }
    session.send("WebAuthn.addVirtualAuthenticator", {"options": options})
    return session


def test_a_passkey_is_added_by_two_taps_and_signs_in_by_one(visitors: Visitors, live: HostedHouse) -> None:
    page = visitors.come()
    page.context.add_cookies([live.cookie("Ana")])
    device(page)
    page.goto("/passkeys")
    page.get_by_label("What it is called").fill("blue phone")
    page.get_by_role("button", name="Add a passkey").click()
    page.get_by_text("Added. You can sign in with it").wait_for()
    assert page.locator(".let-in h3").all_text_contents() == ["blue phone"]
    page.context.clear_cookies()
    live.now += timedelta(minutes=1)
    page.goto("/sign-in")
    page.get_by_role("button", name="Use your passkey").click()
    page.wait_for_url(re.compile("/(today|start)"))
    page.goto("/passkeys")
    assert "last used" in page.locator(".let-in .aside").inner_text()
    # The same device makes no second one for the same person.
    page.get_by_role("button", name="Add a passkey").click()
    page.get_by_text("has a passkey of yours already").wait_for()


def test_one_that_nobody_unlocks_changes_nothing_and_says_so(visitors: Visitors, live: HostedHouse) -> None:
    page = visitors.come()
    page.context.add_cookies([live.cookie("Ben")])
    device(page, verified=False)
    page.goto("/passkeys")
    page.get_by_role("button", name="Add a passkey").click()
    page.get_by_text("Nothing was chosen, so nothing changed.").wait_for()
    assert live.app.state.context.store.shown("nothing") is None
    assert page.get_by_text("You have none yet.").first.is_visible()


def test_after_a_while_a_tap_on_confirm_and_one_on_the_passkey_lead_back(
    visitors: Visitors, live: HostedHouse
) -> None:
    page = visitors.come()
    page.context.add_cookies([live.cookie("Dora")])
    device(page)
    page.goto("/passkeys")
    page.get_by_role("button", name="Add a passkey").click()
    page.get_by_text("Added.").wait_for()
    live.sleep(1)
    page.goto("/passkeys")
    page.get_by_role("link", name="Confirm", exact=True).click()
    page.get_by_role("button", name="Use your passkey").click()
    page.get_by_text("It is you.").wait_for()
    assert page.get_by_role("button", name="Add a passkey").is_visible()


def test_without_a_script_a_code_of_the_sheet_lets_in_and_the_sheet_prints_on_one_page(
    visitors: Visitors, live: HostedHouse
) -> None:
    page = visitors.come(java_script_enabled=False)
    page.context.add_cookies([live.cookie("Emil")])
    page.goto("/recovery")
    page.get_by_role("button", name="Make a sheet").click()
    codes = page.locator(".codes code").all_text_contents()
    assert len(set(codes)) == 10
    page.set_viewport_size(PAPER)  # type: ignore[arg-type]  # a size
    assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(format="A4", prefer_css_page_size=True))) == 1
    page.context.clear_cookies()
    page.goto("/sign-in")
    assert page.get_by_role("button", name="Use your passkey").count() == 0
    page.get_by_label("Recovery code").fill(codes[0].lower().replace("-", " "))
    page.get_by_role("button", name="Use the code").click()
    page.get_by_text("The code you used is used up.").wait_for()


@pytest.mark.parametrize("viewport", [NARROW, PHONE], ids=["320", "360"])
def test_a_code_is_read_on_one_line_of_a_small_phone(
    visitors: Visitors, live: HostedHouse, viewport: dict[str, int]
) -> None:
    page = visitors.come(viewport=viewport)
    page.context.add_cookies([live.cookie(f"Fay{viewport['width']}")])
    page.goto("/recovery")
    page.get_by_role("button", name="Make a sheet").click()
    page.locator(".codes").wait_for()
    lines = "[...document.querySelectorAll('.codes code')].map((one) => one.getClientRects().length)"
    assert set(page.evaluate(lines)) == {1}
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
