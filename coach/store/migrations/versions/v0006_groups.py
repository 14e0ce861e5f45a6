"""Groups and their courses, questions and notes, what a household lets be seen, passkeys, where it lives."""

from __future__ import annotations

from functools import partial
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    """Bring the tables from the version before to this one."""
    _widen_the_door()
    _make_ways_in()
    _make_groups()
    _make_talk()
    _make_enrolments()


def _column(kind: Any, name: str, *, needed: bool = True) -> sa.Column[Any]:  # noqa: ANN401  any type of column
    return sa.Column(name, kind(), nullable=not needed)


_text = partial(_column, sa.Text)
_number = partial(_column, sa.BigInteger)
_date = partial(_column, sa.Date)
_flag = partial(_column, sa.Boolean)


def _instant(name: str) -> sa.Column[Any]:
    return sa.Column(name, sa.DateTime(timezone=True), nullable=False)


def _empty(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False, server_default=sa.text("''"))


def _make(table: str, key: tuple[str, ...], *columns: sa.Column[Any]) -> None:
    op.create_table(table, *columns, sa.PrimaryKeyConstraint(*key, name=f"pk_{table}"))


def _find(table: str, *columns: str) -> None:
    op.create_index(f"ix_{table}_{'_'.join(columns)}", table, list(columns))


def _widen_the_door() -> None:
    for name in ("group_id", "name", "begins"):
        op.add_column("code", _empty(name))
    _find("code", "group_id")
    _find("code", "begins")
    op.add_column("session", sa.Column("as_coach", sa.Boolean(), nullable=False, server_default=sa.false()))


def _make_ways_in() -> None:
    _make("coach", ("person_id",), _text("person_id"), _instant("since"))
    _make(
        "passkey",
        ("credential",),
        *map(_text, ("credential", "person_id", "public_key")),
        _number("counter"),
        _text("name"),
        _instant("made_at"),
        _instant("seen_at"),
    )
    _find("passkey", "person_id")
    _make("recovery", ("secret",), *map(_text, ("secret", "person_id", "sheet_id")), _instant("made_at"))
    _find("recovery", "person_id")
    _make("ceremony", ("secret",), *map(_text, ("secret", "kind", "person_id")), _instant("ends_at"))
    _make(
        "place",
        ("household_id",),
        *map(_text, ("household_id", "place")),
        _empty("moving_to"),
        _instant("since"),
    )


def _make_groups() -> None:
    _make(
        "coached_group",
        ("group_id",),
        *map(_text, ("group_id", "person_id", "name", "course")),
        _date("first_day"),
        _text("language"),
        _instant("made_at"),
    )
    _find("coached_group", "person_id")
    _make(
        "kept_course",
        ("person_id", "digest"),
        *map(_text, ("person_id", "digest", "course", "title", "content")),
        _column(sa.LargeBinary, "packed"),
        _instant("added_at"),
    )
    _find("kept_course", "person_id")
    _make("held_version", ("group_id", "since"), _text("group_id"), _date("since"), _text("digest"))
    _make(
        "published",
        ("group_id", "name", "as_of"),
        *map(_text, ("group_id", "name")),
        _date("as_of"),
        _text("content"),
    )


def _make_talk() -> None:
    _make(
        "question",
        ("question_id",),
        *map(_text, ("question_id", "group_id", "household_id", "person_id", "step")),
        _number("lesson"),
        _text("text"),
        _flag("with_name"),
        _instant("asked_at"),
        _text("together"),
        _flag("apart"),
        _text("answer_id"),
    )
    _find("question", "group_id", "asked_at")
    _find("question", "household_id")
    _make(
        "answer",
        ("answer_id",),
        *map(_text, ("answer_id", "group_id", "step", "question", "text")),
        _flag("for_all"),
        _instant("answered_at"),
    )
    _find("answer", "group_id", "answered_at")
    _make("note", ("group_id", "day"), _text("group_id"), _date("day"), _text("text"), _instant("made_at"))


def _make_enrolments() -> None:
    _make(
        "enrolment",
        ("household_id",),
        *map(_text, ("household_id", "name", "group_id")),
        _instant("joined_at"),
        _text("level"),
        _instant("level_at"),
        _date("level_until", needed=False),
    )
    _find("enrolment", "group_id", "level")
    _make(
        "followed",
        ("household_id",),
        _text("household_id"),
        _date("through"),
        _date("started_on"),
        _text("phase"),
        _date("last_mark", needed=False),
        _number("due_since"),
        _text("weeks"),
    )
    _find("followed", "through")
    _make(
        "spell",
        ("household_id", "step"),
        *map(_text, ("household_id", "step", "digest")),
        _date("entered_on"),
        _number("days"),
        _text("ending"),
        _date("ended_on", needed=False),
        _text("state"),
        _date("settled_on", needed=False),
        _number("outcomes"),
        _number("sunday_days"),
        _text("sunday_ending"),
        _text("pace"),
    )
