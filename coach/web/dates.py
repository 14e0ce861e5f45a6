"""Dates and instants as every address, body, form and query takes them, each written in one way alone."""

import datetime as dt
import re
from typing import Annotated

from pydantic import BeforeValidator, Field
from pydantic_core import PydanticCustomError

from coach.errors import Malformed
from coach.progress.days import iso_date
from coach.web.reasons import DATE, INSTANT


def _written_out(value: object) -> object:
    """The date that a text is; a number of seconds is none, though one could count it out."""
    if not isinstance(value, str):
        raise PydanticCustomError("date_type", DATE)
    try:
        return iso_date(value)
    except Malformed:
        raise PydanticCustomError("date_parsing", DATE) from None


IsoDate = Annotated[dt.date, BeforeValidator(_written_out)]

_INSTANT = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})[Tt]([0-9]{2}:[0-9]{2}):([0-9]{2})(?:\.([0-9]+))?([Zz]|[+-][0-9]{2}:[0-9]{2})"
)
_MICROSECONDS = 6
_LEAP = "60"


def _instant(value: object) -> object:
    """The instant that a text is, as RFC 3339 writes it: with a date, a time of day and an offset."""
    found = _INSTANT.fullmatch(value) if isinstance(value, str) else None
    if found is None:
        raise PydanticCustomError("datetime_parsing", INSTANT)
    day, minute, second, fraction, offset = found.groups()
    part = (fraction or "")[:_MICROSECONDS].ljust(_MICROSECONDS, "0")
    if second == _LEAP:
        # A leap second is no other to Python than the end of the one before.
        second, part = "59", "9" * _MICROSECONDS
    try:
        return dt.datetime.fromisoformat(f"{day}T{minute}:{second}.{part}{offset.upper()}").astimezone(dt.UTC)
    except (ValueError, OverflowError):
        raise PydanticCustomError("datetime_parsing", INSTANT) from None


Instant = Annotated[
    dt.datetime,
    BeforeValidator(_instant),
    Field(json_schema_extra={"format": "date-time"}, examples=["2027-01-25T08:30:00+00:00"]),
]
