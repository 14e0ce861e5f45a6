"""A date as every address, body, form and query takes it: written YYYY-MM-DD, and no other way."""

import datetime as dt
from typing import Annotated

from pydantic import BeforeValidator
from pydantic_core import PydanticCustomError

from coach.errors import Malformed
from coach.progress.days import iso_date
from coach.web.reasons import DATE


def _written_out(value: object) -> object:
    """The date that a text is; a number of seconds is none, though one could count it out."""
    if not isinstance(value, str):
        raise PydanticCustomError("date_type", DATE)
    try:
        return iso_date(value)
    except Malformed:
        raise PydanticCustomError("date_parsing", DATE) from None


IsoDate = Annotated[dt.date, BeforeValidator(_written_out)]
