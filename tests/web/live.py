"""A house that answers on a real port of this machine."""

from __future__ import annotations

import socket
import threading
import time
from typing import TYPE_CHECKING, Any

from coach.web.server import Server
from web.house import House

if TYPE_CHECKING:
    from pathlib import Path


class LiveHouse(House):
    """A house behind uvicorn, in a thread of the test.

    Attributes:
        url: Its address.
    """

    def __init__(self, folder: Path, **settings: Any) -> None:  # noqa: ANN401  as Settings takes them
        super().__init__(folder, **settings)
        self._listen(0)

    def _listen(self, port: int) -> None:
        self._socket = socket.socket()
        self._socket.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        self._socket.bind(("127.0.0.1", port))
        self.port = self._socket.getsockname()[1]
        self.url = f"http://127.0.0.1:{self.port}"
        self._server = Server(self.app, lambda: None, self.app.state.changes.end, lifespan="off")
        self._thread = threading.Thread(target=self._server.run, args=([self._socket],))
        self._thread.start()
        while not self._server.started:
            time.sleep(0.01)

    def go_offline(self) -> None:
        """Stop answering; what is stored stays."""
        self._server.should_exit = True
        self._thread.join()
        self._socket.close()

    def come_online(self) -> None:
        """Answer again at the same address."""
        self._listen(self.port)

    def close(self) -> None:
        """Stop answering and let go of the database."""
        self.go_offline()
        super().close()
