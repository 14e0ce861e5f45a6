"""Answers that are kept for when their request is sent again."""

from __future__ import annotations

from datetime import UTC
from typing import TYPE_CHECKING

from coach.ground.answered import Answered
from coach.store import statements

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy import Connection


def answer_to(connection: Connection, household: str, request_id: str, since: datetime) -> Answered | None:
    """How a household's request of that id was answered, if that was no earlier than an instant."""
    values = {"household": household, "request": request_id, "answered_since": since.astimezone(UTC)}
    found = connection.execute(statements.ANSWERED, values).one_or_none()
    return None if found is None else Answered(*found)


def keep_answer(
    connection: Connection, about: tuple[str, str], answered: Answered, at: datetime, before: datetime
) -> None:
    """Keep the answer to a household's request; those given before an instant are let go of.

    Args:
        connection: With the transaction that the request wrote in.
        about: The household, and the request's id.
        answered: The answer.
        at: When it was given, aware.
        before: Of those given earlier none is kept.
    """
    household, request_id = about
    values = {"household": household, "before": before.astimezone(UTC)}
    connection.execute(statements.DROP_ANSWERED, values)
    given = {"asked": answered.asked, "status": answered.status, "body": answered.body}
    names = {"household_id": household, "request_id": request_id}
    connection.execute(statements.ADD_ANSWERED, {**names, **given, "at": at.astimezone(UTC)})
