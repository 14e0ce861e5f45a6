"""What bodies and addresses of the JSON interface are made of: texts, titles, dates, and a strict object."""

import re
import unicodedata
from math import inf
from sys import maxsize
from typing import Annotated

from fastapi import Path
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError
from pydantic_core.core_schema import no_info_after_validator_function

from coach.course.digits import whole_number
from coach.web import reasons
from coach.web.dates import IsoDate


def _in_digits(value: object) -> object:
    """The number of an address, which is written in ASCII digits: no sign, no point, nothing else."""
    number = whole_number(value, maxsize) if isinstance(value, str) else None
    if number is None:
        raise PydanticCustomError("int_parsing", reasons.WHOLE)
    return number


def _whole(value: object) -> object:
    """A number of JSON. To JSON Schema, which describes the interface, 5.0 is the whole number 5."""
    # Python reads 1e400 as infinity.
    if not isinstance(value, int | float) or isinstance(value, bool) or value in {inf, -inf}:
        raise PydanticCustomError("int_type", reasons.WHOLE)
    return value


def _as_written(value: object) -> object:
    """The yes or no of an address, which is written as in JSON."""
    if value not in {"true", "false"}:
        raise PydanticCustomError("bool_parsing", "Write true or false.")
    return value == "true"


_CLOCK = re.compile("([01][0-9]|2[0-3]):[0-5][0-9]")


def _clock_time(value: object) -> object:
    """A time of day as it is always written, so that 9:5 and 24:00 are none."""
    if not isinstance(value, str) or not _CLOCK.fullmatch(value):
        raise PydanticCustomError("time_parsing", reasons.TIME)
    return value


_CONTROL = r"\u0000-\u0008\u000a-\u001f\u007f-\u009f\u2028\u2029"
NO_BREAK = rf"^[^{_CONTROL}]*$"
FILLED = rf"^[^{_CONTROL}]*[^\s{_CONTROL}][^{_CONTROL}]*$"
"""What stands on one line, and what says something besides, as the description of the interface says it."""


def one_line(text: str) -> str:
    """A text that stands on one line; what has a line break in it is not cut into several."""
    if "".join(text.splitlines()) != text:
        raise PydanticCustomError("line_break", "This has a line break in it. Write it on one line.")
    if any(unicodedata.category(letter) == "Cc" and letter != "\t" for letter in text):
        raise PydanticCustomError("control", "This has characters in it that cannot be shown. Write it anew.")
    return text


WEEK_NAME = {"pattern": r"^[1-9][0-9]{3}-W(0[1-9]|[1-4][0-9]|5[0-3])$"}
"""How the description of the interface says what a week's name is; a sentence of ours refuses any other."""


class OnOneLine:
    """A mark of texts that stand on one line; what the field says of their length is looked at first.

    Args:
        pattern: How the description says it. That a name says something is described too, and refused in the
            sentence that its room has for it.
    """

    def __init__(self, pattern: str = NO_BREAK) -> None:
        self._pattern = pattern

    def __get_pydantic_core_schema__(self, source: object, handler: GetCoreSchemaHandler) -> CoreSchema:
        return no_info_after_validator_function(one_line, handler(source))

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        return handler(schema) | {"pattern": self._pattern}


Id = Annotated[str, Field(min_length=1, max_length=100)]
Text = Annotated[str, Field(max_length=500)]
Line = Annotated[str, OnOneLine()]
Words = Annotated[str, Field(min_length=1, max_length=200), OnOneLine(FILLED)]
Name = Annotated[str, OnOneLine(FILLED)]
ShortName = Annotated[Text, OnOneLine(FILLED)]
OneLine = Annotated[Text, OnOneLine()]
ClockTime = Annotated[
    str,
    BeforeValidator(_clock_time),
    Field(json_schema_extra={"pattern": f"^({_CLOCK.pattern})$"}, examples=["15:30"]),
]
"""A time of day of a body, HH:MM."""
WHOLE = BeforeValidator(_whole)
"""A mark of whole numbers in bodies; what the field says of their size stands before it."""
Minutes = Annotated[int, Field(ge=0, le=1440), WHOLE]
IN_DIGITS = BeforeValidator(_in_digits)
"""A mark of numbers in addresses; what the parameter says of their size stands before it."""
AsWritten = Annotated[bool, BeforeValidator(_as_written)]
YesNo = Annotated[bool, Field(strict=True)]
On = Annotated[IsoDate, Path(description="A date, ISO 8601.", examples=["2027-01-25"])]


class Part(BaseModel):
    """A JSON object without unknown keys, within a body; or a body of a request that is not remembered."""

    model_config = ConfigDict(extra="forbid")


REQUEST_ID = (
    "A name of your own for this request. Sent again under it, it writes nothing and is answered as before, "
    "for 14 days; another request under it is a 422."
)
RequestId = Annotated[str, Field(min_length=1, max_length=100), OnOneLine()]


class Body(Part):
    """A JSON object without unknown keys that asks for something, which is done once if it has an id."""

    # It says nothing of what is asked for, so it is no part of what a body is turned into.
    request_id: RequestId | None = Field(None, description=REQUEST_ID, exclude=True)


class BareBody(Body):
    """A request that has nothing to say besides."""
