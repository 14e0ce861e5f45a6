"""The household's authority: made once, and good for the home's own names and addresses alone.

What a phone is asked to trust cannot vouch for any other site: the limits stand in the certificate itself
(name constraints, RFC 5280 §4.2.1.10), and browsers hold to them.
"""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import datetime, timedelta
from ipaddress import ip_network
from typing import TYPE_CHECKING

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from coach.errors import NotReady
from coach.machine import clock
from coach.machine.addresses import FULL_NAME, LOOPBACK_NAME, NAMES, PRIVATE
from coach.machine.key_files import make_folder, read_private, replace, write_once

if TYPE_CHECKING:
    from pathlib import Path

KEY_FILE = "authority-key.pem"
"""The key and its certificate, in one file, so that the one is never there without the other."""

PUBLIC_FILE = "authority.crt"
"""A copy of the certificate alone, which may be given to anyone."""

YEARS = 10
"""How long a household's authority is good, so that phones are asked once and not every year."""

BACKDATED = timedelta(hours=1)
"""How far certificates begin in the past: clocks of phones are not all set to the second."""

MARK_LETTERS = "BCDFGHJKLMNPQRSTVWXZ"
"""Letters that make no words and are not taken for digits."""

_LOOPBACK = tuple(map(ip_network, ("127.0.0.1/32", "::1/128")))
_BEGIN = b"-----BEGIN CERTIFICATE-----"


@dataclass(frozen=True, slots=True)
class Authority:
    """What signs the certificates of one home.

    Attributes:
        folder: Where it is kept.
        certificate: What phones are asked to trust.
        key: What it signs with; it never leaves its file and this process.
    """

    folder: Path
    certificate: x509.Certificate
    key: ec.EllipticCurvePrivateKey

    @property
    def name(self) -> str:
        """What a phone calls it in its list, with a mark and a year that tell two homes apart."""
        return common_name(self.certificate)

    @property
    def since(self) -> datetime:
        """From when on it is good."""
        return self.certificate.not_valid_before_utc

    @property
    def until(self) -> datetime:
        """Until when it is good."""
        return self.certificate.not_valid_after_utc

    @property
    def pem(self) -> bytes:
        """The certificate as text, as computers take it."""
        return self.certificate.public_bytes(serialization.Encoding.PEM)

    @property
    def der(self) -> bytes:
        """The certificate as bytes, as phones take it (application/x-x509-ca-cert)."""
        return self.certificate.public_bytes(serialization.Encoding.DER)

    @property
    def fingerprint(self) -> tuple[str, ...]:
        """The certificate's SHA-256 in four lines of pairs, to be compared with what a phone shows."""
        pairs = self.certificate.fingerprint(hashes.SHA256()).hex(" ").upper()
        return tuple(pairs[at : at + 23] for at in range(0, len(pairs), 24))


def open_or_make(folder: Path, now: datetime) -> Authority:
    """The household's authority; it is made if there is none, and never replaced.

    Args:
        folder: Where it is kept; made for its owner alone.
        now: The machine's time.

    Raises:
        NotReady: It cannot be read or made, is over, or others may read its key.
    """
    make_folder(folder)
    found = read(folder)
    if found is None:
        if fault := clock.fault_of(now):
            raise NotReady(f"{fault} A certificate made now would be good for nothing. {clock.SET_IT}")
        write_once(folder / KEY_FILE, _made(now))
        found = read(folder)
    if found is None:
        raise NotReady(f"{folder / KEY_FILE} was removed while it was made. Start Steading again.")
    _refuse_over(found, now)
    _publish(found)
    return found


def read(folder: Path) -> Authority | None:
    """The authority that a folder holds; None if it holds none. Nothing is changed.

    Raises:
        NotReady: It cannot be read, or others may read its key.
    """
    path = folder / KEY_FILE
    content = read_private(path)
    if content is None:
        return None
    key, certificate = parts(content, path)
    if not _may_sign(certificate):
        raise NotReady(f"{path} holds a certificate that may not sign others. {_anew(folder)}")
    return Authority(folder, certificate, key)


def parts(content: bytes, path: Path) -> tuple[ec.EllipticCurvePrivateKey, x509.Certificate]:
    """The key and the certificate of one file, which belong together.

    Raises:
        NotReady: They cannot be read, or do not belong together.
    """
    before, begin, after = content.partition(_BEGIN)
    try:
        key = serialization.load_pem_private_key(before, None)
        certificate = x509.load_pem_x509_certificate(begin + after)
    except (ValueError, TypeError):
        raise NotReady(f"{path} is damaged: it holds no key and certificate. {_anew(path.parent)}") from None
    if not isinstance(key, ec.EllipticCurvePrivateKey) or key.public_key() != certificate.public_key():
        raise NotReady(f"The certificate in {path} belongs to another key. {_anew(path.parent)}")
    return key, certificate


def joined(key: ec.EllipticCurvePrivateKey, certificate: x509.Certificate) -> bytes:
    """A key and its certificate as the text of one file."""
    return key.private_bytes(
        serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
    ) + certificate.public_bytes(serialization.Encoding.PEM)


def common_name(certificate: x509.Certificate) -> str:
    """What a certificate calls its owner."""
    return str(certificate.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value)


def _made(now: datetime) -> bytes:
    key = ec.generate_private_key(ec.SECP256R1())
    mark = "".join(secrets.choice(MARK_LETTERS) for _ in range(4))
    name = x509.Name(
        [x509.NameAttribute(NameOID.COMMON_NAME, f"Steading household authority {mark} {now.year}")]
    )
    since = now.replace(microsecond=0) - BACKDATED
    known = x509.SubjectKeyIdentifier.from_public_key(key.public_key())
    return joined(
        key,
        x509.CertificateBuilder(name, name, key.public_key(), x509.random_serial_number())
        .not_valid_before(since)
        .not_valid_after(since + timedelta(days=YEARS * 365))
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(usage("key_cert_sign", "crl_sign"), critical=True)
        .add_extension(_limits(), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(known, critical=False)
        .sign(key, hashes.SHA256()),
    )


def _may_sign(certificate: x509.Certificate) -> bool:
    try:
        return certificate.extensions.get_extension_for_class(x509.BasicConstraints).value.ca
    except (x509.ExtensionNotFound, ValueError):
        return False


_PURPOSES = (
    "digital_signature",
    "content_commitment",
    "key_encipherment",
    "data_encipherment",
    "key_agreement",
    "key_cert_sign",
    "crl_sign",
    "encipher_only",
    "decipher_only",
)


def usage(*purposes: str) -> x509.KeyUsage:
    """What a key is for, by the names of `x509.KeyUsage`'s arguments, and for nothing else."""
    return x509.KeyUsage(**{purpose: purpose in purposes for purpose in _PURPOSES})


def _limits() -> x509.NameConstraints:
    """The names and addresses of this home, and those by which every machine calls itself."""
    names = [x509.DNSName(name) for name in (*NAMES, LOOPBACK_NAME)]
    addresses = [x509.IPAddress(network) for network in (*PRIVATE, *_LOOPBACK)]
    return x509.NameConstraints([*names, *addresses, x509.RFC822Name(FULL_NAME)], None)


def _refuse_over(found: Authority, now: datetime) -> None:
    if now > found.until:
        raise NotReady(
            f"The household's authority in {found.folder} was good until {found.until:%Y-%m-%d}, and this "
            f"machine's clock says {now:%Y-%m-%d}. If the clock is right: {_anew(found.folder)}"
        )


def _publish(found: Authority) -> None:
    public = found.folder / PUBLIC_FILE
    if not public.is_file() or public.read_bytes() != found.pem:
        replace(public, found.pem)


def _anew(folder: Path) -> str:
    return (
        f"Bring the folder {folder} back from a backup; or move it away, and the next start makes a new "
        "authority, which each phone has to be told to trust."
    )
