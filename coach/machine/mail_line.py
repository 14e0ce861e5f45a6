"""A connection to a mail server that ends in time, and knows whether a letter was handed over."""

from __future__ import annotations

import smtplib
import socket
import threading
from contextlib import contextmanager, suppress
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

OURSELVES = "[127.0.0.1]"
"""What we call ourselves to the server; the machine's own name is nobody's business."""

READY = 220
"""How a server greets (RFC 5321 §4.3.2)."""


class Unanswered(Exception):
    """A letter that was handed over, and of which it is not known whether it was taken (RFC 1047)."""


class Line(smtplib.SMTP):
    """A connection that is open already.

    Args:
        plain: What it goes over.
        host: The name that the server's certificate has to hold, where TLS comes later.
    """

    def __init__(self, plain: socket.socket, host: str) -> None:
        super().__init__(local_hostname=OURSELVES)
        self.sock = plain
        self._host = host
        code, said = self.getreply()
        if code != READY:
            raise smtplib.SMTPConnectError(code, said)

    def data(self, msg: Any) -> tuple[int, bytes]:  # noqa: ANN401  as the library takes it
        """Hand a letter over, and give the answer.

        Raises:
            Unanswered: None came.
            SMTPDataError: It is not wanted, before it was handed over.
        """
        try:
            return super().data(msg)
        except smtplib.SMTPResponseException:
            raise
        except OSError as error:
            raise Unanswered from error

    def leave(self) -> None:
        """Take leave, whatever is said to that: what was taken is taken."""
        with suppress(OSError):
            self.quit()
        self.close()


@contextmanager
def cut_off_after(seconds: float, line: socket.socket) -> Iterator[None]:
    """Hang up on whoever answers a little at a time: what is written or read then fails."""
    same = line.dup()

    def hang_up() -> None:
        with suppress(OSError):
            same.shutdown(socket.SHUT_RDWR)

    waiting = threading.Timer(seconds, hang_up)
    waiting.daemon = True
    waiting.start()
    try:
        yield
    finally:
        waiting.cancel()
        same.close()
