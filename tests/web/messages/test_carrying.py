"""Letters carried as the settings have it, to a push service and a mail server on this machine."""

from __future__ import annotations

from datetime import UTC, datetime, time, timedelta
from typing import TYPE_CHECKING, Any

import pytest

from coach.ground.sending import Reminder
from coach.machine import vapid
from coach.messages.answers import Letter, Outcome
from coach.settings import Settings
from coach.web import carrying
from coach.web.carrying import Post, base_of
from habits.house import House
from machine.mail_service import HOST, SENDER, MailService
from machine.push_service import Browser, PushService

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.ground.sending import Way
    from coach.messages.carriers import Carrier

NOW = datetime(2027, 1, 25, 7, 30, tzinfo=UTC)
PUBLIC = "https://steading.example.org"
BROWSER = Browser()
LETTER = Letter("Make the bed", "4 lines today.", "/today", NOW + timedelta(hours=6), "/stop/abc")


@pytest.fixture(scope="module")
def pushing(tmp_path_factory: pytest.TempPathFactory) -> Iterator[PushService]:
    with PushService(tmp_path_factory.mktemp("push")) as service:
        yield service


@pytest.fixture(scope="module")
def mailing(tmp_path_factory: pytest.TempPathFactory) -> Iterator[MailService]:
    with MailService(tmp_path_factory.mktemp("mail"), "starttls") as service:
        yield service


def set_up(**wishes: Any) -> Settings:  # noqa: ANN401  as Settings takes them
    return Settings(
        **{"push": "on", "public_url": PUBLIC, "mail_server": HOST, "mail_from": SENDER, **wishes}
    )


def reminder(way: Way, address: str) -> Reminder:
    """Somebody who wants a message; a browser's keys do no harm to mail."""
    return Reminder("r", "home", "", way, address, BROWSER.key, BROWSER.auth, "phone", time(7), NOW, NOW)


def test_a_letter_reaches_the_browser_with_its_title_its_words_and_where_they_lead(
    pushing: PushService,
) -> None:
    post: Carrier = Post(set_up(), House().context, pushing.outside())
    assert post.fault_of("push", pushing.endpoint, BROWSER.key, BROWSER.auth) == ""
    assert post.carry(reminder("push", pushing.endpoint), LETTER, NOW) == Outcome("sent")
    said = {"title": "Make the bed", "body": "4 lines today.", "link": "/today", "stop": "/stop/abc"}
    assert pushing.read(BROWSER) == said
    (_, headers, _) = pushing.got[-1]
    assert (headers["ttl"], headers["topic"]) == (str(6 * 3600), "today")
    assert headers["authorization"].endswith(f", k={post.public_key()}")


def test_a_busy_push_service_is_asked_again_when_it_says(pushing: PushService) -> None:
    post = Post(set_up(), House().context, pushing.outside())
    pushing.status, pushing.headers = 429, {"Retry-After": "600"}
    try:
        found = post.carry(reminder("push", pushing.endpoint), LETTER, NOW)
    finally:
        pushing.status, pushing.headers = 201, {}
    assert (found.result, found.again_at) == ("later", NOW + timedelta(minutes=10))


def test_a_letter_goes_by_mail_with_links_that_lead_back(mailing: MailService) -> None:
    settings = set_up(mail_port=mailing.port)
    post = Post(settings, House().context, trusted=mailing.context)
    assert post.carry(reminder("mail", "ana@home.example"), LETTER, NOW) == Outcome("sent")
    ((to, got),) = mailing.got
    assert (to, got["Subject"]) == (["ana@home.example"], "Make the bed")
    assert got["List-Unsubscribe"] == f"<{PUBLIC}/stop/abc>"
    lines = got.get_content().splitlines()
    assert lines[0] == "4 lines today."
    assert {f"{PUBLIC}/today", f"{PUBLIC}/stop/abc"} < set(lines)


@pytest.mark.parametrize("way", ["push", "mail"])
def test_what_comes_too_late_to_be_of_use_is_not_sent(pushing: PushService, way: Way) -> None:
    before = len(pushing.got)
    post = Post(set_up(), House().context, pushing.outside())
    assert post.carry(reminder(way, pushing.endpoint), LETTER, LETTER.until).result == "refused"
    assert len(pushing.got) == before


def test_the_longest_letter_fits_into_a_push_message_in_any_script(pushing: PushService) -> None:
    post = Post(set_up(), House().context, pushing.outside())
    long = Letter("🫖" * 500, "\u05d1" * 900, "/today", LETTER.until, "/stop/abc")
    assert post.carry(reminder("push", pushing.endpoint), long, NOW) == Outcome("sent")
    assert len(pushing.read(BROWSER)["title"]) == 150
    assert post.carry(reminder("push", pushing.endpoint), LETTER, NOW) == Outcome("sent")
    assert len({len(body) for _, _, body in pushing.got[-2:]}) == 1


def test_a_browser_whose_keys_are_none_is_refused_and_breaks_nothing(pushing: PushService) -> None:
    post = Post(set_up(), House().context, pushing.outside())
    assert "base64url" in post.fault_of("push", pushing.endpoint, "?", "?")
    broken = Reminder("r", "home", "", "push", pushing.endpoint, "?", "?", "phone", time(7), NOW, NOW)
    assert post.carry(broken, LETTER, NOW).result == "refused"


def test_a_subscription_that_leads_to_this_machine_is_refused() -> None:
    post = Post(set_up(), House().context)
    for host in ("localhost", "127.0.0.1", "192.168.1.1", "[::1]", "steading.home.arpa"):
        said = post.fault_of("push", f"https://{host}/send", BROWSER.key, BROWSER.auth)
        assert said, host
        assert post.carry(reminder("push", f"https://{host}/send"), LETTER, NOW).result == "refused"


def test_our_key_is_made_once_and_is_that_of_every_server_of_the_database() -> None:
    context, elsewhere = House().context, Post(set_up(), House().context)
    first, second = Post(set_up(), context), Post(set_up(), context)
    assert first.public_key() == ""
    for post in (first, second, elsewhere):
        post.prepare()
    assert first.public_key() == second.public_key() != elsewhere.public_key()
    with context.store.people_reading() as reading:
        kept = reading.key(carrying.KEY)
    assert kept is not None
    assert vapid.public_key(kept) == first.public_key()


def test_without_being_asked_to_it_sends_nothing_anywhere_and_makes_no_key(pushing: PushService) -> None:
    before, context = len(pushing.got), House().context
    post = Post(Settings(), context, pushing.outside())
    post.prepare()
    assert "COACH_PUSH=on" in post.why_not("push")
    assert "COACH_MAIL_SERVER" in post.why_not("mail")
    assert post.public_key() == ""
    for way in ("push", "mail"):
        assert post.carry(reminder(way, pushing.endpoint), LETTER, NOW).result == "refused"
    assert len(pushing.got) == before
    with context.store.people_reading() as reading:
        assert reading.key(carrying.KEY) is None


@pytest.mark.parametrize(
    ("wishes", "well"),
    [
        ({}, True),
        ({"public_url": None}, False),
        ({"public_url": "http://192.168.1.20:8420"}, False),
        ({"public_url": None, "push_contact": "mailto:ana@home.example"}, True),
        ({"push_contact": "mailto:ana@localhost"}, False),
    ],
)
def test_push_services_are_told_whom_to_reach_or_nothing_is_sent(
    wishes: dict[str, Any], *, well: bool
) -> None:
    post = Post(set_up(**wishes), House().context)
    assert (post.why_not("push") == "") is well
    assert well or "COACH_PUSH_CONTACT" in post.why_not("push")


def test_where_browsers_keep_nothing_of_steading_they_are_sent_nothing() -> None:
    assert "COACH_OFFLINE=off" in Post(set_up(offline="off"), House().context).why_not("push")


@pytest.mark.parametrize("wishes", [{"mail_from": ""}, {"mail_user": "ana"}])
def test_a_mail_server_that_is_half_set_is_said_to_be(wishes: dict[str, Any]) -> None:
    post = Post(set_up(**wishes), House().context)
    assert post.why_not("mail") == post.carry(reminder("mail", "ana@home.example"), LETTER, NOW).why != ""


def test_links_of_a_letter_lead_to_where_the_pages_are_found() -> None:
    assert base_of(set_up()) == PUBLIC
    assert base_of(set_up(public_url=None)) == "http://127.0.0.1:8420"
    at_home = base_of(set_up(public_url=None, way="home", port=8000))
    assert at_home.startswith("http://")
    assert at_home.endswith(":8000")
