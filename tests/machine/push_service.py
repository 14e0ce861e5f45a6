"""A push service on this machine, which decrypts what it is given as the browser would."""

from __future__ import annotations

import http.server
import json
import secrets
import ssl
import threading
import time
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import timedelta
from typing import TYPE_CHECKING, Any, Self

import http_ece
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import NameOID

from coach.machine import base64url
from coach.machine.outside import Outside
from machine.places import NOW

if TYPE_CHECKING:
    from pathlib import Path

HOST = "push.example.net"
UNCOMPRESSED = (serialization.Encoding.X962, serialization.PublicFormat.UncompressedPoint)


@dataclass(frozen=True)
class Browser:
    """A browser that has subscribed.

    Attributes:
        private: Its key.
        secret: What it shares with whoever sends to it.
    """

    private: ec.EllipticCurvePrivateKey = field(
        default_factory=lambda: ec.generate_private_key(ec.SECP256R1())
    )
    secret: bytes = field(default_factory=lambda: secrets.token_bytes(16))

    @property
    def key(self) -> str:
        return base64url.written(self.private.public_key().public_bytes(*UNCOMPRESSED))

    @property
    def auth(self) -> str:
        return base64url.written(self.secret)

    def read(self, body: bytes) -> bytes:
        """What a message says."""
        return bytes(http_ece.decrypt(body, private_key=self.private, auth_secret=self.secret))


def certificate(folder: Path, name: str) -> tuple[Path, Path]:
    """A file with a key and its certificate for a name, and one with that certificate alone."""
    key = ec.generate_private_key(ec.SECP256R1())
    who = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])
    made = (
        x509.CertificateBuilder()
        .subject_name(who)
        .issuer_name(who)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(NOW - timedelta(hours=1))
        .not_valid_after(NOW + timedelta(days=1))
        .add_extension(x509.SubjectAlternativeName([x509.DNSName(name)]), critical=False)
        .sign(key, hashes.SHA256())
    )
    pem = made.public_bytes(serialization.Encoding.PEM)
    form = serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    both, alone = folder / "both.pem", folder / "alone.pem"
    both.write_bytes(key.private_bytes(serialization.Encoding.PEM, *form) + pem)
    alone.write_bytes(pem)
    return both, alone


class PushService:
    """It keeps what comes, and answers as it is told.

    Attributes:
        port: Where it listens.
        got: Each message: its path, headers and body.
        status: What it answers with.
        headers: And the headers of that.
        raw: What it sends in place of an answer, if anything.
        pause: Seconds that it stays silent after that.
    """

    def __init__(self, folder: Path) -> None:
        both, self._trusted = certificate(folder, HOST)
        self.got: list[tuple[str, dict[str, str], bytes]] = []
        self.status = 201
        self.headers: dict[str, str] = {}
        self.raw: bytes | None = None
        self.pause = 0.0
        self._server = http.server.HTTPServer(("127.0.0.1", 0), self._handler())
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(both)
        self._server.socket = context.wrap_socket(self._server.socket, server_side=True)
        self.port: int = self._server.server_address[1]
        self.endpoint = f"https://{HOST}:{self.port}/send/abc?d=1"
        self._thread = threading.Thread(target=self._server.serve_forever, args=(0.01,))

    def _handler(self) -> type[http.server.BaseHTTPRequestHandler]:
        service = self

        class Handler(http.server.BaseHTTPRequestHandler):
            def do_POST(self) -> None:
                body = self.rfile.read(int(self.headers["content-length"]))
                service.got.append((self.path, {k.lower(): v for k, v in self.headers.items()}, body))
                if service.raw is not None:
                    # Whoever has read enough hangs up.
                    with suppress(OSError):
                        self.wfile.write(service.raw)
                    time.sleep(service.pause)
                    return
                self.send_response(service.status)
                for name, value in service.headers.items():
                    self.send_header(name, value)
                self.end_headers()

            def log_message(self, *_: Any) -> None:  # noqa: ANN401  as the library has it
                pass

        return Handler

    def outside(self, name: str = HOST) -> Outside:
        """The internet, in which this machine is the push service and may be connected to."""
        return Outside(
            look_up=lambda asked, _: ("127.0.0.1",) if asked == name else (),
            allows=lambda ip: str(ip) == "127.0.0.1",
            ports=frozenset({self.port}),
            context=lambda: ssl.create_default_context(cafile=str(self._trusted)),
        )

    def read(self, browser: Browser) -> Any:  # noqa: ANN401  whatever JSON it is
        """What the latest message says."""
        return json.loads(browser.read(self.got[-1][2]))

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(self, *_: object) -> None:
        self._server.shutdown()
        self._thread.join()
        self._server.server_close()
