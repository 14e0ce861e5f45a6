"""What the JSON interface takes to let somebody in, and of people, devices and tokens."""

from typing import Annotated, Any, Literal

from pydantic import Field

from coach.household.names import LONGEST_NAME
from coach.web.api.fields import WHOLE, Body, OneLine, OnOneLine, Part, RequestId
from coach.web.dates import IsoDate

PersonName = Annotated[str, Field(max_length=LONGEST_NAME), OnOneLine()]
CodeText = Annotated[str, Field(min_length=1, max_length=100, description="The letters, in any spelling.")]


class PairingBody(Body):
    """Whom a code is for."""

    person: Literal["me", "anyone"] = Field(
        "anyone", alias="for", description="`me`: another device of yours; `anyone`: whoever pairs says who."
    )


class PairBody(Part):
    """A device that wants to be let in."""

    code: CodeText
    name: PersonName = Field("", description="Who pairs: one of the household's names, or a new one.")
    device: PersonName = Field("", description="What the device is called.", examples=["kitchen phone"])
    token: Literal["write"] | None = Field(None, description="Answer with a token instead of a cookie.")
    request_id: RequestId | None = Field(
        None, description="Names the request: sent again while the service runs, it is answered the same."
    )


class EnrolBody(PairBody):
    """Somebody who was invited; the rest begins a household that has not begun."""

    household: OneLine = Field("", description="What the household is called, where Steading has many.")
    first: str | None = Field(None, max_length=100, description="The root to begin with; none: the first.")
    zone: str | None = Field(None, max_length=100, description="IANA name of the time zone; none: UTC.")
    day_starts: str | None = Field(
        None, max_length=5, description="Local time at which the day begins, HH:MM; none: 03:00."
    )
    pace: str | None = Field(None, max_length=50, description="One of the course's paces; none: standard.")


ANSWER = (
    "What `navigator.credentials` answered, as `toJSON` of a PublicKeyCredential writes it: `id`, `rawId`, "
    "`type` and `response`, with bytes in base64url."
)


class PasskeyBody(Body):
    """A passkey that a device has made."""

    answer: dict[str, Any] = Field(description=ANSWER)
    name: PersonName = Field("", description="What it is called.", examples=["blue phone"])


class PasskeyNameBody(Body):
    """What a passkey is to be called."""

    name: PersonName = Field(description="What it is called.", examples=["blue phone"])


class SignInBody(Part):
    """What a passkey answered."""

    answer: dict[str, Any] = Field(description=ANSWER)
    device: PersonName = Field("", description="What the device is called; none: as before.")
    request_id: RequestId | None = Field(
        None, description="Names the request: sent again while the service runs, it is answered the same."
    )


class RecoveryBody(Part):
    """A code of a recovery sheet."""

    code: CodeText
    device: PersonName = Field("", description="What the device is called; none: as before.")
    token: Literal["write"] | None = Field(None, description="Answer with a token instead of a cookie.")
    request_id: RequestId | None = Field(
        None, description="Names the request: sent again while the service runs, it is answered the same."
    )


class InvitationBody(Body):
    """Whom an invitation is for."""

    what: Literal["member", "household"] = Field(
        "member",
        alias="for",
        description="`member`: of this household; `household`: new ones of a group, by its coach.",
    )
    uses: Annotated[int, Field(ge=1, le=500), WHOLE] = Field(
        1, description="Once, for a member; how many new households it lets in."
    )
    group: OneLine = Field("", description="The group that new households come into.")


class TokenBody(Body):
    """A token for a program."""

    name: PersonName = Field(description="What it is for.", examples=["the wall display"])
    scope: Literal["read", "write"] = Field("read", description="Whether it may change anything.")
    until: IsoDate | None = Field(None, description="The last date on which it holds; none: a year.")
    person: OneLine = Field("", description="Whose it is, where Steading's own machine asks.")


class PersonBody(Body):
    """What is to be another with somebody; what is not named stays."""

    name: PersonName | None = Field(None, description="What they are called.")
    role: Literal["keeper", "member"] | None = Field(None, description="What they may do.")
