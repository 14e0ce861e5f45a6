"""A mail server on this machine that keeps what it is handed, and takes as little as it is told to."""

from __future__ import annotations

import asyncio
import ssl
import threading
from email import message_from_bytes, policy
from typing import TYPE_CHECKING, Any, Self

from aiosmtpd.smtp import SMTP, AuthResult

from coach.machine.mail import MailServer
from machine.push_service import certificate

if TYPE_CHECKING:
    from email.message import EmailMessage
    from pathlib import Path

    from aiosmtpd.smtp import Envelope, Session

    from coach.machine.mail import Security

HOST = "localhost"
SENDER = "Steading <steading@tern-street.example>"
USER, WORD = "tern-street", "open sesame"


class MailService:
    """Listens on a free port, in a thread of its own.

    Attributes:
        got: What was handed in, with the addresses it was for.
        answers: What it answers to a command in place of taking it: `{"RCPT": "550 5.1.1 Unknown"}`.
        pause: Seconds it takes for taking a letter.
        lingers: Seconds it takes for letting us go.
        ssl: What clients have to trust.
    """

    def __init__(self, folder: Path, security: Security = "none", **wishes: Any) -> None:  # noqa: ANN401
        both, self._trusted = certificate(folder, HOST)
        self._security: Security = security
        self._shown = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        self._shown.load_cert_chain(both)
        self._wishes = wishes
        self.got: list[tuple[list[str], EmailMessage]] = []
        self.answers: dict[str, str] = {}
        self.pause = 0.0
        self.lingers = 0.0
        self._loop = asyncio.new_event_loop()
        self._thread = threading.Thread(target=self._loop.run_forever)

    def context(self) -> ssl.SSLContext:
        """What trusts it."""
        return ssl.create_default_context(cafile=str(self._trusted))

    def server(self, **more: Any) -> MailServer:  # noqa: ANN401
        """It, as the settings name it."""
        return MailServer(
            **{"host": HOST, "port": self.port, "security": self._security, "sender": SENDER, **more}
        )

    async def handle_RCPT(  # noqa: N802  as the library calls it
        self, _: SMTP, __: Session, envelope: Envelope, address: str, ___: list[str]
    ) -> str:
        envelope.rcpt_tos.append(address)
        return self.answers.get("RCPT", "250 OK")

    async def handle_DATA(self, _: SMTP, __: Session, envelope: Envelope) -> str:  # noqa: N802
        await asyncio.sleep(self.pause)
        if said := self.answers.get("DATA"):
            return said
        raw = envelope.original_content or b""
        self.got.append((list(envelope.rcpt_tos), message_from_bytes(raw, policy=policy.SMTPUTF8)))
        return "250 OK"

    async def handle_QUIT(self, *_: object) -> str:  # noqa: N802
        await asyncio.sleep(self.lingers)
        return self.answers.get("QUIT", "221 Bye")

    def _protocol(self) -> SMTP:
        def let_in(_: SMTP, __: Session, ___: Envelope, ____: str, said: Any) -> AuthResult:  # noqa: ANN401
            return AuthResult(success=said.password == WORD.encode(), handled=False)

        offered: dict[str, Any] = {"enable_SMTPUTF8": True, **self._wishes}
        return SMTP(
            self,
            hostname=HOST,
            loop=self._loop,
            authenticator=let_in,
            auth_require_tls=self._security == "starttls",
            tls_context=self._shown if self._security == "starttls" else None,
            **offered,
        )

    def __enter__(self) -> Self:
        self._thread.start()
        own = self._shown if self._security == "tls" else None
        making = self._loop.create_server(self._protocol, "127.0.0.1", 0, ssl=own)
        self._listening = asyncio.run_coroutine_threadsafe(making, self._loop).result(5)
        self.port: int = self._listening.sockets[0].getsockname()[1]
        return self

    def __exit__(self, *_: object) -> None:
        async def end() -> None:
            self._listening.close()
            ours = asyncio.current_task()
            others = [task for task in asyncio.all_tasks() if task is not ours]
            for task in others:
                task.cancel()
            await asyncio.gather(*others, return_exceptions=True)

        asyncio.run_coroutine_threadsafe(end(), self._loop).result(5)
        self._loop.call_soon_threadsafe(self._loop.stop)
        self._thread.join()
        self._loop.close()
