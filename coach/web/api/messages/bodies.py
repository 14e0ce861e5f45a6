"""What the JSON interface takes of somebody's reminder."""

from typing import Annotated, Literal

from pydantic import Field

from coach.web.api.fields import Body, ClockTime, OnOneLine
from coach.web.api.people.bodies import PersonName


class ReminderBody(Body):
    """One message a day."""

    way: Literal["push", "mail"] = Field(description="To a browser, or by mail.")
    at: ClockTime = Field(description="The hour, by the household's clock, HH:MM.", examples=["08:00"])
    address: Annotated[str, Field(max_length=2048), OnOneLine()] = Field(
        "", description="The browser's push address, or an e-mail address; empty: the one that stands."
    )
    key: Annotated[str, Field(max_length=200), OnOneLine()] = Field(
        "", description="Of a browser: its public key (`p256dh`), base64url."
    )
    auth: Annotated[str, Field(max_length=100), OnOneLine()] = Field(
        "", description="Of a browser: its secret (`auth`), base64url."
    )
    device: PersonName = Field("", description="What the device is called.", examples=["kitchen phone"])
