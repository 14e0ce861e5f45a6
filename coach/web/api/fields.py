"""What bodies and addresses of the JSON interface are made of: texts, titles, dates, and a strict object."""

from typing import Annotated

from fastapi import Path
from pydantic import AfterValidator, BaseModel, ConfigDict, Field
from pydantic_core import PydanticCustomError

from coach.web.dates import IsoDate


def one_line(text: str) -> str:
    """A text that stands on one line; what has a line break in it is not cut into several."""
    if "".join(text.splitlines()) != text:
        raise PydanticCustomError("line_break", "This has a line break in it. Write it on one line.")
    return text


Id = Annotated[str, Field(min_length=1, max_length=100)]
Words = Annotated[str, Field(min_length=1, max_length=200)]
Text = Annotated[str, Field(max_length=500)]
Title = Annotated[str, AfterValidator(one_line)]
OneLine = Annotated[Text, AfterValidator(one_line)]
Whole = Annotated[int, Field(strict=True)]
Minutes = Annotated[Whole, Field(ge=0, le=1440)]
YesNo = Annotated[bool, Field(strict=True)]
On = Annotated[IsoDate, Path(description="A date, ISO 8601.", examples=["2027-01-25"])]


class Body(BaseModel):
    """A JSON object without unknown keys."""

    model_config = ConfigDict(extra="forbid")
