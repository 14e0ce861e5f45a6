"""`/trust`: the certificate of the household's own authority, and how a phone is told to trust it."""

import plistlib
import uuid
from typing import TYPE_CHECKING

from fastapi import APIRouter, Request, Response
from markupsafe import Markup

from coach.errors import Unknown
from coach.machine.addresses import FULL_NAME
from coach.web.network import Network
from coach.web.rendering import page

if TYPE_CHECKING:
    from coach.machine.authority import Authority

router = APIRouter(prefix="/trust")

NONE = (
    "There is no certificate to trust here. Steading makes one for your home when it is started with "
    "coach serve --home --tls."
)


@router.get("")
def explain(request: Request) -> Response:
    """What the certificate is, what to press, and what is gained."""
    network, authority = _served(request)
    values = {
        "navigation": False,
        "authority": authority.name,
        "fingerprint": authority.fingerprint,
        "until": authority.until.date(),
        "addresses": [(_breakable(host), address) for host, address in network.names.items()],
        "full_name": network.secure(FULL_NAME),
        "is_secure": request.url.scheme == "https",
    }
    return page(request, "household/trust.html", values)


@router.get("/steading.crt")
def certificate(request: Request) -> Response:
    """The certificate as bytes (DER), which phones, Windows and macOS open."""
    return _file(_served(request)[1].der, "steading.crt", "application/x-x509-ca-cert")


@router.get("/steading.pem")
def text(request: Request) -> Response:
    """The same as text (PEM), which Linux and its browsers take."""
    return _file(_served(request)[1].pem, "steading.pem", "application/x-pem-file")


@router.get("/steading.mobileconfig")
def profile(request: Request) -> Response:
    """The same as a profile, which iOS and iPadOS offer to install."""
    made = profile_of(_served(request)[1])
    return _file(made, "steading.mobileconfig", "application/x-apple-aspen-config")


def profile_of(authority: "Authority") -> bytes:
    """An Apple configuration profile with the certificate and nothing else; the same bytes each time."""
    name = uuid.uuid5(uuid.NAMESPACE_OID, authority.pem.decode())
    kind = {"PayloadVersion": 1, "PayloadDisplayName": authority.name}
    root = kind | {
        "PayloadType": "com.apple.security.root",
        "PayloadIdentifier": f"arpa.home.steading.{name}.certificate",
        "PayloadUUID": str(uuid.uuid5(name, "certificate")).upper(),
        "PayloadCertificateFileName": "steading.crt",
        "PayloadContent": authority.der,
    }
    whole = kind | {
        "PayloadType": "Configuration",
        "PayloadIdentifier": f"arpa.home.steading.{name}",
        "PayloadUUID": str(name).upper(),
        "PayloadDescription": "Lets this device open Steading at home without a warning; sets nothing else.",
        "PayloadContent": [root],
    }
    return plistlib.dumps(whole)


def _served(request: Request) -> tuple[Network, "Authority"]:
    network: Network | None = request.app.state.network
    if network is None or network.tls is None:
        raise Unknown(NONE)
    return network, network.tls.authority


def _breakable(host: str) -> Markup:
    """A host that may go on in the next line within an IPv6 address and nowhere else."""
    return Markup(":<wbr>").join(host.split(":"))


def _file(content: bytes, name: str, kind: str) -> Response:
    return Response(
        content, media_type=kind, headers={"Content-Disposition": f'attachment; filename="{name}"'}
    )
