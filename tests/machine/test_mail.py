"""One letter by mail, handed to a mail server on this machine, with TLS and without."""

from __future__ import annotations

import socket
import threading
from datetime import UTC, datetime
from time import monotonic
from typing import TYPE_CHECKING, Any

import pytest

from coach.machine import mail, outside
from coach.machine.delivery import SENT
from coach.machine.mail import Mail, MailServer, address_fault, composed, reached, sent
from machine.mail_service import HOST, SENDER, USER, WORD, MailService

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.machine.mail import Security

NOW = datetime(2027, 1, 25, 7, 30, tzinfo=UTC)
ANA = "ana@tern-street.example"
STOP = "https://steading.example.org/stop/abc"
LETTER = Mail(
    ANA, "Make the bed", "4 lines today.\n\nhttps://steading.example.org/today\n", STOP, one_click=True
)


@pytest.fixture(scope="module")
def plain(tmp_path_factory: pytest.TempPathFactory) -> Iterator[MailService]:
    with MailService(tmp_path_factory.mktemp("mail")) as service:
        yield service


@pytest.fixture
def service(plain: MailService) -> MailService:
    plain.got.clear()
    plain.answers.clear()
    plain.pause = plain.lingers = 0.0
    return plain


def test_a_letter_arrives_with_all_that_it_needs_and_nothing_else(service: MailService) -> None:
    assert sent(service.server(), LETTER, NOW) == SENT
    ((to, got),) = service.got
    assert (to, got.get_content_type(), got.is_multipart()) == ([ANA], "text/plain", False)
    assert got.get_content().replace("\r\n", "\n") == LETTER.text
    named = {name: str(value) for name, value in got.items()}
    assert named.pop("Message-ID").endswith("@tern-street.example>")
    assert named == {
        "From": SENDER,
        "To": ANA,
        "Subject": "Make the bed",
        "Date": "Mon, 25 Jan 2027 07:30:00 +0000",
        "Auto-Submitted": "auto-generated",
        "List-Unsubscribe": f"<{STOP}>",
        "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
        "Content-Type": 'text/plain; charset="utf-8"',
        "Content-Transfer-Encoding": "7bit",
        "MIME-Version": "1.0",
    }


@pytest.mark.parametrize(
    ("stop", "one_click"), [("http://192.168.1.20:8420/stop/abc", True), (STOP, False), ("", True)]
)
def test_where_a_link_is_not_reached_from_everywhere_one_ends_it_by_writing_back(
    stop: str,
    one_click: bool,  # noqa: FBT001  as it is parametrised
) -> None:
    made = composed(MailServer(HOST, 25, "none", SENDER), Mail(ANA, "x", "y", stop, one_click), NOW)
    assert made["List-Unsubscribe"] == "<mailto:steading@tern-street.example?subject=stop>"
    assert made["List-Unsubscribe-Post"] is None


def test_letters_of_any_script_arrive_as_they_are(service: MailService) -> None:
    letter = Mail(
        ANA,
        "Küche: \u05d1\u05d9\u05ea, \u03c0\u03b9\u03ac\u03c4\u03b1 🫖",
        "Die Fußböden.\n.\nFliesen\n" + "x" * 2000 + "\n",
    )
    assert sent(service.server(), letter, NOW) == SENT
    ((_, got),) = service.got
    assert (got["Subject"], got.get_content().replace("\r\n", "\n")) == (letter.subject, letter.text)


@pytest.mark.parametrize("end", ["\n", "\r", "\r\n", "\u2028", "\x85", "\x0b", "\0"])
def test_no_end_of_line_makes_a_header_of_its_own(service: MailService, end: str) -> None:
    letter = Mail(ANA, f"Beds{end}Bcc: eve@elsewhere.example{end}{end}more", "Text")
    assert sent(service.server(sender=f"A{end}Bcc: b <steading@tern-street.example>"), letter, NOW) == SENT
    ((to, got),) = service.got
    assert to == [ANA]
    assert got["Bcc"] is None
    assert got["Subject"] == "Beds Bcc: eve@elsewhere.example more"
    assert got.get_content().strip() == "Text"


@pytest.mark.parametrize(
    "address",
    [
        "",
        "ana",
        "ana@",
        "@home.example",
        "ana@localhost",
        "ana@home..example",
        "ana@-home.example",
        "a..b@home.example",
        ".a@home.example",
        "ana@[192.168.1.1]",
        "ana bea@home.example",
        "ana@home.example, eve@elsewhere.example",
        "<ana@home.example>",
        'ana"@home.example',
        "ana@home.example\r\nBcc: eve@elsewhere.example",
        "ana@home.example\n",
        "ana@home.example>",
        "ana\u2028@home.example",
        "ana@home.example?subject=x",
        "a" * 250 + "@home.example",
    ],
)
def test_what_is_no_address_is_refused_with_words(service: MailService, address: str) -> None:
    assert address_fault(address)
    found = sent(service.server(), Mail(address, "x", "y"), NOW)
    assert (found.result, found.why) == ("refused", address_fault(address))
    assert service.got == []


@pytest.mark.parametrize(
    "address", [ANA, "ana.maria+home@mail.home.example", "o'brien@home.example", "ána@häuser.example"]
)
def test_an_address_is_taken_as_it_is(service: MailService, address: str) -> None:
    assert address_fault(address) == ""
    assert sent(service.server(), Mail(address, "x", "y"), NOW) == SENT
    assert service.got[0][0] == [address]


def test_a_server_that_knows_no_letters_beyond_a_to_z_is_said_to(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    with MailService(tmp_path_factory.mktemp("ascii"), enable_SMTPUTF8=False) as old:
        found = sent(old.server(), Mail("ána@home.example", "x", "y"), NOW)
    assert (found.result, found.why) == (
        "refused",
        "The mail server takes no addresses with letters beyond a to z.",
    )


@pytest.mark.parametrize("security", ["starttls", "tls"])
def test_with_tls_the_server_proves_its_name_and_lets_us_in(
    tmp_path_factory: pytest.TempPathFactory, security: Security
) -> None:
    with MailService(tmp_path_factory.mktemp("tls"), security) as service:
        known = service.server(user=USER, password=WORD)
        assert reached(known, service.context) == SENT
        assert sent(known, LETTER, NOW, service.context) == SENT
        wrong = sent(service.server(user=USER, password=WORD[:-1]), LETTER, NOW, service.context)
        stranger = sent(known, LETTER, NOW)
        other = sent(service.server(host="127.0.0.1"), LETTER, NOW, service.context)
    assert len(service.got) == 1
    assert (wrong.result, wrong.why) == (
        "refused",
        "The mail server does not take the user and the password.",
    )
    assert stranger.result == other.result == "later"
    assert "self-signed" in stranger.why
    assert "127.0.0.1" in other.why


def test_without_starttls_nothing_is_sent_in_the_open(service: MailService) -> None:
    found = sent(service.server(security="starttls"), LETTER, NOW)
    assert (found.result, found.why) == (
        "refused",
        "The mail server offers no STARTTLS, and without it nothing is sent.",
    )
    assert service.got == []


@pytest.mark.parametrize(
    ("command", "answer", "result", "why"),
    [
        ("RCPT", "550 5.1.1 Unknown", "gone", "There is no such mailbox."),
        ("RCPT", "550 5.7.1 No relaying for ana", "refused", "The mail server answers 550 5.7.1."),
        ("RCPT", "451 4.7.1 Greylisted", "later", "The mail server answers 451 4.7.1."),
        ("DATA", "554 Not wanted", "refused", "The mail server answers 554."),
        ("DATA", "452 4.3.1 Full", "later", "The mail server answers 452 4.3.1."),
    ],
)
def test_what_a_server_does_not_take_is_told_by_its_number(
    service: MailService, command: str, answer: str, result: str, why: str
) -> None:
    service.answers[command] = answer
    found = sent(service.server(), LETTER, NOW)
    assert (found.result, found.why) == (result, why)
    assert service.got == []


def test_a_slow_server_is_waited_for_so_long_and_no_longer(
    service: MailService, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(mail, "STEP_SECONDS", 0.2)
    service.lingers = 5
    began = monotonic()
    assert reached(service.server()) == SENT
    assert monotonic() - began < 2


def test_a_letter_that_may_have_been_taken_is_not_sent_again(
    service: MailService, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(mail, "STEP_SECONDS", 0.2)
    service.pause = 5
    found = sent(service.server(), LETTER, NOW)
    assert (found.result, found.why) == ("refused", "The mail server did not say whether it took the letter.")


@pytest.mark.parametrize(("answer", "lingers"), [("554 Stay", 0.0), ("221 Bye", 5.0)])
def test_what_is_said_to_taking_leave_does_not_take_a_letter_back(
    service: MailService, monkeypatch: pytest.MonkeyPatch, answer: str, lingers: float
) -> None:
    monkeypatch.setattr(mail, "STEP_SECONDS", 0.2)
    service.answers["QUIT"], service.lingers = answer, lingers
    assert sent(service.server(), LETTER, NOW) == SENT
    assert len(service.got) == 1


def test_a_server_that_answers_a_letter_at_a_time_is_hung_up_on(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(mail, "SECONDS", 0.3)
    over = threading.Event()

    def drip(listening: socket.socket) -> None:
        line, _ = listening.accept()
        with line:
            while not over.wait(0.02):
                try:
                    line.sendall(b"2")
                except OSError:
                    return

    with socket.create_server(("127.0.0.1", 0)) as listening:
        dripping = threading.Thread(target=drip, args=(listening,))
        dripping.start()
        began = monotonic()
        found = sent(MailServer("127.0.0.1", listening.getsockname()[1], "none", SENDER), LETTER, NOW)
        over.set()
        dripping.join()
    assert found.result == "later"
    assert monotonic() - began < 2


def test_a_name_that_is_looked_up_for_ever_is_given_up_and_tried_later(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    over = threading.Event()

    def slow(*_: object, **__: object) -> list[object]:
        over.wait(20)
        return []

    monkeypatch.setattr(socket, "getaddrinfo", slow)
    monkeypatch.setattr(outside, "LOOK_UP_SECONDS", 0.05)
    began = monotonic()
    found = sent(MailServer("mail.home.example", 587, "starttls", SENDER), LETTER, NOW)
    over.set()
    assert monotonic() - began < 10
    assert (found.result, "mail.home.example is not found" in found.why) == ("later", True)


def test_a_server_that_is_not_there_is_tried_later() -> None:
    with socket.create_server(("127.0.0.1", 0)) as listening:
        port = listening.getsockname()[1]
    found = sent(MailServer("127.0.0.1", port, "none", SENDER), LETTER, NOW)
    assert (found.result, found.why) == ("later", "The mail server was not reached: Connection refused.")


@pytest.mark.parametrize(
    "more",
    [
        {"sender": ""},
        {"sender": "Steading"},
        {"sender": "häuser@tern-street.example"},
        {"user": USER},
        {"password": WORD},
        {"user": USER, "password": WORD, "host": "mail.example.org", "security": "none"},
    ],
)
def test_a_server_that_is_half_set_is_not_connected_to(more: dict[str, Any]) -> None:
    server = MailServer(**{"host": HOST, "port": 1, "security": "tls", "sender": SENDER, **more})
    assert server.fault
    assert sent(server, LETTER, NOW).result == reached(server).result == "refused"


def test_a_password_is_in_no_text_that_is_made_of_a_server() -> None:
    server = MailServer(HOST, 465, "tls", SENDER, USER, WORD)
    assert WORD not in f"{server!r} {server}"
