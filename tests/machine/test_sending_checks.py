"""What `coach doctor` says of mail and push."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.machine import sending_checks
from machine.mail_service import SENDER, USER, WORD, MailService

if TYPE_CHECKING:
    from collections.abc import Iterator

    from coach.machine.findings import Told


@pytest.fixture(scope="module")
def service(tmp_path_factory: pytest.TempPathFactory) -> Iterator[MailService]:
    with MailService(tmp_path_factory.mktemp("mail"), "starttls") as service:
        yield service


def told(found: Iterator[Told]) -> Told:
    (one,) = found
    return one


def test_without_a_mail_server_nothing_is_wrong() -> None:
    assert not told(sending_checks.mail(None, ask=True)).is_wrong


def test_a_mail_server_is_not_connected_to_without_being_asked_to(service: MailService) -> None:
    found = told(sending_checks.mail(service.server(port=1), ask=False))
    assert not found.is_wrong
    assert "--mail" in found.text


def test_settings_that_make_no_sense_are_told_with_what_to_do(service: MailService) -> None:
    found = told(sending_checks.mail(service.server(sender=""), ask=True))
    assert found.is_wrong
    assert "COACH_MAIL" in found.mend


def test_one_that_lets_us_in_is_fine_and_is_handed_nothing(service: MailService) -> None:
    known = service.server(user=USER, password=WORD, sender=SENDER)
    assert not told(sending_checks.mail(known, ask=True, trusted=service.context)).is_wrong
    assert service.got == []


def test_one_that_does_not_is_named_with_why(service: MailService) -> None:
    wrong = service.server(user=USER, password=WORD[:-1])
    found = told(sending_checks.mail(wrong, ask=True, trusted=service.context))
    assert found.is_wrong
    assert found.text == (
        f"The mail server does not take the user and the password. It is localhost, port {service.port}."
    )
    assert WORD[:-1] not in found.text.replace("password", "")


@pytest.mark.parametrize(
    ("on", "fault", "wrong"), [(False, "No contact.", False), (True, "No contact.", True), (True, "", False)]
)
def test_push_is_wrong_only_where_it_is_on_and_cannot_be_used(*, on: bool, fault: str, wrong: bool) -> None:
    assert told(sending_checks.push(on=on, fault=fault)).is_wrong is wrong
