"""What a device is asked to sign for a passkey, and what its answer proves (Web Authentication, level 3)."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, NamedTuple

from coach.errors import Malformed, WrongPasskey

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from datetime import timedelta

    from coach.ground.passkeys import Passkey

NAME = "Steading"
UNREADABLE = "This is no answer of a passkey. Let the browser ask for it once more."
NOT_PROVED = (
    "The device's answer does not fit what it was asked here. Try once more; if it stays so, "
    "come in another way and add a passkey anew."
)
WENT_BACK = (
    "This passkey's device says that it has signed less often than before, as a copy of it would. "
    "It lets nobody in. Come in another way, remove it, and add a new one."
)


@dataclass(frozen=True, slots=True)
class RelyingParty:
    """For whom a device signs.

    Attributes:
        id: The host name that passkeys are bound to.
        origins: Where the pages are that may ask, with scheme and port.
    """

    id: str
    origins: tuple[str, ...]


class Said(NamedTuple):
    """What an answer says of itself, before anything of it is proved."""

    challenge: bytes
    credential: str


class Added(NamedTuple):
    """What a device has made."""

    credential: str
    public_key: str
    counter: int


def creation_options(
    party: RelyingParty,
    person: tuple[str, str],
    others: Sequence[Passkey],
    challenge: bytes,
    lasts: timedelta,
) -> dict[str, Any]:
    """What a browser is given to make a passkey with, as JSON has it.

    Args:
        party: For whom.
        person: The key and the name of whose it is to be. The key is random, and so is what the device keeps.
        others: The person's passkeys, so that a device does not make a second one.
        challenge: What it signs.
        lasts: How long it has.
    """
    from webauthn import generate_registration_options  # noqa: PLC0415  slow to load, and seldom needed
    from webauthn.helpers import base64url_to_bytes, options_to_json_dict, structs  # noqa: PLC0415  as above

    selection = structs.AuthenticatorSelectionCriteria(
        resident_key=structs.ResidentKeyRequirement.REQUIRED,
        user_verification=structs.UserVerificationRequirement.REQUIRED,
    )
    key, name = person
    options = generate_registration_options(
        rp_id=party.id,
        rp_name=NAME,
        user_id=key.encode(),
        user_name=name,
        challenge=challenge,
        timeout=_milliseconds(lasts),
        attestation=structs.AttestationConveyancePreference.NONE,
        authenticator_selection=selection,
        exclude_credentials=[
            structs.PublicKeyCredentialDescriptor(id=base64url_to_bytes(one.credential)) for one in others
        ],
    )
    return options_to_json_dict(options)


def request_options(party: RelyingParty, challenge: bytes, lasts: timedelta) -> dict[str, Any]:
    """What a browser is given to ask for a passkey with; whose it may be is left to the device."""
    from webauthn import generate_authentication_options  # noqa: PLC0415  as above
    from webauthn.helpers import options_to_json_dict, structs  # noqa: PLC0415  as above

    options = generate_authentication_options(
        rp_id=party.id,
        challenge=challenge,
        timeout=_milliseconds(lasts),
        user_verification=structs.UserVerificationRequirement.REQUIRED,
    )
    return options_to_json_dict(options)


def _milliseconds(lasts: timedelta) -> int:
    return int(lasts.total_seconds() * 1000)


def said_by(answer: Mapping[str, Any]) -> Said:
    """What an answer says of itself: what it signed, and by which credential.

    Raises:
        Malformed: It is no answer of a passkey, or one for a page within another site's page.
    """
    from webauthn.helpers import base64url_to_bytes, parse_client_data_json  # noqa: PLC0415  as above

    try:
        data = parse_client_data_json(base64url_to_bytes(answer["response"]["clientDataJSON"]))
        said = Said(bytes(data.challenge), str(answer["id"]))
    except Exception:  # noqa: BLE001  whatever is wrong with what a stranger sent
        raise Malformed(UNREADABLE) from None
    if data.cross_origin:
        raise Malformed(UNREADABLE)
    return said


def added(party: RelyingParty, answer: Mapping[str, Any], challenge: bytes) -> Added:
    """What a device has made, if it signed the challenge here and somebody proved to it who they are.

    Raises:
        WrongPasskey: It did not.
    """
    from webauthn import verify_registration_response  # noqa: PLC0415  as above
    from webauthn.helpers import bytes_to_base64url  # noqa: PLC0415  as above

    try:
        found = verify_registration_response(
            credential=dict(answer),
            expected_challenge=challenge,
            expected_rp_id=party.id,
            expected_origin=list(party.origins),
            require_user_verification=True,
        )
    except Exception:  # noqa: BLE001  whatever is wrong with what a stranger sent
        raise WrongPasskey(NOT_PROVED) from None
    public_key = bytes_to_base64url(found.credential_public_key)
    return Added(bytes_to_base64url(found.credential_id), public_key, found.sign_count)


def counted(party: RelyingParty, answer: Mapping[str, Any], challenge: bytes, passkey: Passkey) -> int:
    """How often a device says that it has signed, if it signed the challenge here with this passkey.

    Raises:
        WrongPasskey: It did not, or says that it is somebody else's.
    """
    from webauthn import verify_authentication_response  # noqa: PLC0415  as above
    from webauthn.helpers import base64url_to_bytes  # noqa: PLC0415  as above

    try:
        handle = answer["response"].get("userHandle")
        found = verify_authentication_response(
            credential=dict(answer),
            expected_challenge=challenge,
            expected_rp_id=party.id,
            expected_origin=list(party.origins),
            credential_public_key=base64url_to_bytes(passkey.public_key),
            # The counter is looked at by `goes_on`, so that one that went back is told from a wrong answer.
            credential_current_sign_count=0,
            require_user_verification=True,
        )
        is_theirs = handle is None or base64url_to_bytes(handle) == passkey.person.encode()
    except Exception:  # noqa: BLE001  whatever is wrong with what a stranger sent
        raise WrongPasskey(NOT_PROVED) from None
    if not is_theirs:
        raise WrongPasskey(NOT_PROVED)
    return found.new_sign_count


def goes_on(before: int, now: int) -> bool:
    """Whether a counter may say `now` after `before`: it grows, or it is no counter and stays 0."""
    return now > before or now == before == 0
