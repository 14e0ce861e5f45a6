"""What the JSON interface takes for groups, questions, answers and notes, in bodies and addresses."""

import re
from typing import Annotated

from fastapi import Path
from pydantic import AfterValidator, Field
from pydantic_core import PydanticCustomError

from coach.coaching.groups import ENGLISH
from coach.coaching.texts import LONGEST_TEXT
from coach.household.names import LONGEST_NAME
from coach.web import reasons
from coach.web.api.fields import FILLED, WHOLE, Body, Id, OnOneLine, YesNo
from coach.web.dates import IsoDate

GroupId = Annotated[str, Path(description="The group's id, as in `groups`.", max_length=100)]
HouseholdId = Annotated[str, Path(description="The household's key, as in `households`.", max_length=100)]
QuestionId = Annotated[str, Path(description="The question's id.", max_length=100)]
AnswerId = Annotated[str, Path(description="The answer's id.", max_length=100)]
NoteDate = Annotated[IsoDate, Path(description="A date, ISO 8601.", examples=["2027-01-25"])]

PlainText = Annotated[
    str,
    Field(
        min_length=1,
        max_length=4 * LONGEST_TEXT,
        description=f"Plain text that says something, {LONGEST_TEXT} characters at most.",
        json_schema_extra={"maxLength": LONGEST_TEXT, "pattern": r"[^\s]"},
    ),
]
_LANGUAGE = re.compile("[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8}){0,3}")


def _language(text: str) -> str:
    if not _LANGUAGE.fullmatch(text):
        raise PydanticCustomError("language", reasons.LANGUAGE)
    return text


Language = Annotated[
    str,
    Field(max_length=40, json_schema_extra={"pattern": f"^{_LANGUAGE.pattern}$"}),
    AfterValidator(_language),
]
GroupName = Annotated[str, Field(min_length=1, max_length=LONGEST_NAME), OnOneLine(FILLED)]


class GroupBody(Body):
    """A group that is to be made."""

    name: GroupName
    course: Id = Field(description="A shipped course's name, or the id of one of one's own.")
    first_day: IsoDate = Field(description="The first day on which one of its households may start.")
    language: Language = Field(ENGLISH, description="The language of its lessons, as BCP 47 writes it.")


class GroupChangeBody(Body):
    """What is to be another with a group."""

    name: GroupName


class QuestionChangeBody(Body):
    """How a question lies beside others: by itself, or together with one."""

    apart: YesNo = Field(default=False, description="It stands by itself; nothing is suggested for it again.")
    together: Annotated[str, Field(max_length=100)] = Field(
        "", description="The id of the question of the same step it is put together with; then not `apart`."
    )


class WordedBody(Body):
    """An answer in words, and whether it stands for all."""

    text: PlainText
    for_all: YesNo = Field(default=False, description="Whether it stands below that step's lessons for all.")
    question: Annotated[str, Field(max_length=4 * LONGEST_TEXT)] = Field(
        "", description="The question in one's own words, without names; needed for all."
    )


class AnswerBody(WordedBody):
    """An answer to one or several questions of one step."""

    questions: Annotated[list[Id], Field(min_length=1, max_length=500)] = Field(
        description="The ids of the questions it answers."
    )


class NoteBody(Body):
    """What is said on a date."""

    text: PlainText


class QuestionBody(Body):
    """A question under a lesson."""

    text: PlainText
    step: Annotated[str, Field(max_length=100)] = Field(
        "", description="The step whose lesson it is asked under; none: a lesson of no step."
    )
    lesson: Annotated[int, Field(ge=0, le=1000), WHOLE] = Field(0, description="That lesson's number from 1.")
    with_name: YesNo = Field(
        default=False, description="Whether the coach may see the household's name beside it."
    )
