"""A device that keeps passkeys, in software: what a phone does when a page asks for one."""

from __future__ import annotations

import json
import secrets
from base64 import urlsafe_b64decode, urlsafe_b64encode
from dataclasses import dataclass, field
from hashlib import sha256
from typing import TYPE_CHECKING, Any

import cbor2
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey

PRESENT, VERIFIED, ATTESTED = 0x01, 0x04, 0x40
"""Flags of authenticator data: somebody is there, proved who they are, and a credential comes with it."""


def base64url(content: bytes) -> str:
    return urlsafe_b64encode(content).decode().rstrip("=")


def plain(text: str) -> bytes:
    return urlsafe_b64decode(text + "=" * (-len(text) % 4))


@dataclass
class Device:
    """A device, its browser's page, and the passkeys it keeps.

    Attributes:
        origin: Where the page is that the browser shows.
        verifies: Whether it makes somebody prove who they are.
        counter: How often it has signed; None: it does not count, and says 0.
        rp_id: The name it signs for; none: the one it was asked for.
    """

    origin: str
    verifies: bool = True
    counter: int | None = None
    rp_id: str = ""
    keys: dict[bytes, tuple[EllipticCurvePrivateKey, bytes]] = field(default_factory=dict)

    def create(self, options: dict[str, Any]) -> dict[str, Any]:
        """Make a passkey as `navigator.credentials.create` does, without attestation."""
        credential, key = secrets.token_bytes(16), ec.generate_private_key(ec.SECP256R1())
        self.keys[credential] = key, plain(options["user"]["id"])
        data = self._data(options["rp"]["id"], ATTESTED)
        data += bytes(16) + len(credential).to_bytes(2) + credential + _cose(key)
        attestation = cbor2.dumps({"fmt": "none", "attStmt": {}, "authData": data})
        said = {"clientDataJSON": self._client("create", options), "attestationObject": attestation}
        return _answer(credential, said)

    def get(self, options: dict[str, Any]) -> dict[str, Any]:
        """Sign as `navigator.credentials.get` does, by the passkey that was made last."""
        credential, (key, handle) = list(self.keys.items())[-1]
        data, client = self._data(options["rpId"], 0), self._client("get", options)
        signature = key.sign(data + sha256(client).digest(), ec.ECDSA(hashes.SHA256()))
        parts = {"clientDataJSON": client, "authenticatorData": data, "signature": signature}
        return _answer(credential, parts | {"userHandle": handle})

    def _data(self, asked: str, flags: int) -> bytes:
        flags |= PRESENT | (VERIFIED if self.verifies else 0)
        if self.counter is not None:
            self.counter += 1
        return (
            sha256((self.rp_id or asked).encode()).digest() + bytes([flags]) + (self.counter or 0).to_bytes(4)
        )

    def _client(self, what: str, options: dict[str, Any]) -> bytes:
        said = {"type": f"webauthn.{what}", "challenge": options["challenge"], "origin": self.origin}
        return json.dumps(said | {"crossOrigin": False}).encode()


def _cose(key: EllipticCurvePrivateKey) -> bytes:
    """A public key on P-256 for ES256, as COSE has it (RFC 9053 §7.1.1)."""
    numbers = key.public_key().public_numbers()
    return cbor2.dumps({1: 2, 3: -7, -1: 1, -2: numbers.x.to_bytes(32), -3: numbers.y.to_bytes(32)})


def _answer(credential: bytes, parts: dict[str, bytes]) -> dict[str, Any]:
    named = base64url(credential)
    response = {name: base64url(content) for name, content in parts.items()}
    return {"id": named, "rawId": named, "type": "public-key", "response": response}
