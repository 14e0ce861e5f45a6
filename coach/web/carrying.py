"""What carries a letter as the settings have it: a browser's push service, or a mail server."""

from __future__ import annotations

import json
from contextlib import suppress
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.errors import Malformed, NotReady
from coach.machine import mail, push, vapid
from coach.machine.addresses import offered, private_addresses
from coach.machine.mail import PORTS, Mail, MailServer
from coach.machine.outside import INTERNET
from coach.machine.push import Push
from coach.machine.push_encryption import recipient
from coach.messages.answers import Outcome

if TYPE_CHECKING:
    import ssl
    from collections.abc import Callable
    from datetime import datetime

    from coach.ground.ports import Context
    from coach.ground.sending import Reminder, Way
    from coach.machine.delivery import Delivery
    from coach.machine.outside import Outside
    from coach.messages.answers import Letter
    from coach.settings import Settings

KEY = "vapid"
"""The name of our key for push services: every server of one database has the same."""

TOPIC = "today"
"""A message that still waits at a push service gives way to the next one."""

TITLE_CHARACTERS, BODY_CHARACTERS = 150, 300
"""What a notification shows at most, and what fits into a message of that length in any script."""

PUSH_OFF = (
    "Steading sends nothing to browsers here, since that leads through the internet. "
    "Whoever runs it can turn that on with COACH_PUSH=on."
)
NO_WORKER = (
    "Browsers keep nothing of Steading here (COACH_OFFLINE=off), so nothing of it is there to take messages."
)
NO_MAIL = "No mail server is set here. Whoever runs Steading can name one with COACH_MAIL_SERVER."
TOO_LATE = "It would have come too late to be of use."
SAYS = """{body}

{open}

You asked Steading for one message a day. To end them, open
{stop}
"""


class Post:
    """Carries letters as the settings have it; it is the rooms' `Carrier`.

    Args:
        settings: What is set.
        context: Where our key is kept.
        outside: How the internet is reached; only a test gives another way.
        trusted: What a mail server has to prove that it is who it says; the same.
    """

    def __init__(
        self,
        settings: Settings,
        context: Context,
        outside: Outside = INTERNET,
        trusted: Callable[[], ssl.SSLContext] | None = None,
    ) -> None:
        self._settings = settings
        self._context = context
        self._outside = outside
        self._trusted = trusted

    def why_not(self, way: Way) -> str:
        """Why nothing can be sent that way as the service is set; empty where it can."""
        if way == "push":
            if self._settings.push == "off":
                return PUSH_OFF
            return NO_WORKER if self._settings.offline == "off" else push_fault(self._settings)
        return mail_server(self._settings).fault if self._settings.mail_server else NO_MAIL

    def fault_of(self, way: Way, address: str, key: str = "", auth: str = "") -> str:
        """Why nothing may be sent to an address, in words for whoever gave it; empty where it may."""
        if way == "mail":
            return mail.address_fault(address)
        try:
            recipient(key, auth)
        except Malformed as error:
            return str(error)
        return push.endpoint_fault(address, self._outside)

    def public_key(self) -> str:
        """What a browser needs to subscribe, base64url; empty where push is off or nothing is prepared."""
        kept = "" if self.why_not("push") else self._kept_key()
        return vapid.public_key(kept) if kept else ""

    def prepare(self) -> None:
        """Make our key, where push is on and there is none, so that who only looks writes nothing."""
        if not self.why_not("push"):
            self._key()

    def carry(self, reminder: Reminder, letter: Letter, now: datetime) -> Outcome:
        """Carry one letter, in bounded time, outside any transaction."""
        if why := self.why_not(reminder.way):
            return Outcome("refused", why)
        if letter.until <= now:
            return Outcome("refused", TOO_LATE)
        try:
            took = self._pushed if reminder.way == "push" else self._mailed
            found = took(reminder, letter, now)
        except Malformed as error:
            return Outcome("refused", str(error))
        again = None if found.wait is None else now + timedelta(seconds=found.wait)
        return Outcome(found.result, found.why, again)

    def _pushed(self, reminder: Reminder, letter: Letter, now: datetime) -> Delivery:
        said = {
            "title": letter.title[:TITLE_CHARACTERS],
            "body": letter.body[:BODY_CHARACTERS],
            "link": letter.link,
            "stop": letter.stop_link,
        }
        return push.sent(
            Push(
                reminder.address,
                recipient(reminder.key, reminder.auth),
                json.dumps(said, ensure_ascii=False).encode(),
                int((letter.until - now).total_seconds()),
                TOPIC,
                vapid.authorization(self._key(), reminder.address, now, contact(self._settings)),
            ),
            self._outside,
        )

    def _mailed(self, reminder: Reminder, letter: Letter, now: datetime) -> Delivery:
        base = base_of(self._settings)
        stop = base + letter.stop_link
        text = SAYS.format(body=letter.body, open=base + letter.link, stop=stop)
        sheet = Mail(reminder.address, letter.title, text, stop, is_public(self._settings))
        return mail.sent(mail_server(self._settings), sheet, now, self._trusted)

    def _key(self) -> str:
        """Our key, made where there is none yet."""
        if found := self._kept_key():
            return found
        with self._context.store.people_writing() as writing:
            return writing.put_key(KEY, vapid.new_key(), self._context.clock())

    def _kept_key(self) -> str:
        with self._context.store.people_reading() as reading:
            return reading.key(KEY) or ""


def mail_server(settings: Settings) -> MailServer:
    """The mail server that is set."""
    return MailServer(
        settings.mail_server,
        settings.mail_port or PORTS[settings.mail_security],
        settings.mail_security,
        settings.mail_from,
        settings.mail_user,
        settings.mail_password.get_secret_value(),
    )


def contact(settings: Settings) -> str:
    """How push services reach whoever runs this: as is set, or else by what is public anyway."""
    return settings.push_contact or (settings.public_url if is_public(settings) else "") or ""


def push_fault(settings: Settings) -> str:
    """Why no push service would take a message, as the settings are; empty where it would."""
    if fault := vapid.contact_fault(contact(settings)):
        return f"Push services want to know how to reach whoever runs this: set COACH_PUSH_CONTACT. {fault}"
    return ""


def is_public(settings: Settings) -> bool:
    """Whether pages are found from the whole internet, with TLS."""
    return settings.public_url is not None and not vapid.contact_fault(settings.public_url)


def base_of(settings: Settings) -> str:
    """What links of letters begin with: the address that is set, at home the machine's, else loopback."""
    if settings.public_url is not None:
        return settings.public_url
    host = "127.0.0.1"
    if settings.way == "home":
        # Where they are not told, the machine's own browser finds it in any case.
        with suppress(NotReady):
            host = next((one.host for one in offered(private_addresses())), host)
    return f"http://{host}:{settings.port}"
