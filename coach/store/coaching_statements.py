"""The statements about groups, what belongs to them, and what a household lets be seen, built once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import (
    Date,
    Text,
    and_,
    bindparam,
    case,
    collate,
    delete,
    func,
    insert,
    or_,
    select,
    text,
    update,
)
from sqlmodel import col

from coach.store.coaching_tables import (
    AnswerTable,
    EnrolmentTable,
    FollowedTable,
    GroupTable,
    HeldVersionTable,
    KeptCourseTable,
    NoteTable,
    PublishedTable,
    QuestionTable,
    SpellTable,
)
from coach.store.people_tables import CoachTable

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import BindParameter, ColumnElement, Select

_HOUSEHOLD = bindparam("household", type_=Text())
_GROUP = bindparam("group", type_=Text())
_COACH = bindparam("coach", type_=Text())
_DAY: BindParameter[date] = bindparam("on", type_=Date())

GROUP_FIELDS: tuple[Any, ...] = (
    col(GroupTable.group_id),
    col(GroupTable.person_id),
    col(GroupTable.name),
    col(GroupTable.course),
    col(GroupTable.first_day),
    col(GroupTable.language),
    col(GroupTable.made_at),
)
_course: tuple[Any, ...] = (
    col(KeptCourseTable.digest),
    col(KeptCourseTable.person_id),
    col(KeptCourseTable.course),
    col(KeptCourseTable.title),
    col(KeptCourseTable.content),
)
_question: tuple[Any, ...] = (
    col(QuestionTable.question_id),
    col(QuestionTable.group_id),
    col(QuestionTable.household_id),
    col(QuestionTable.person_id),
    col(QuestionTable.step),
    col(QuestionTable.lesson),
    col(QuestionTable.text),
    col(QuestionTable.with_name),
    col(QuestionTable.asked_at),
    col(QuestionTable.together),
    col(QuestionTable.apart),
    col(QuestionTable.answer_id),
)
_answer: tuple[Any, ...] = (
    col(AnswerTable.answer_id),
    col(AnswerTable.group_id),
    col(AnswerTable.step),
    col(AnswerTable.question),
    col(AnswerTable.text),
    col(AnswerTable.for_all),
    col(AnswerTable.answered_at),
)
_note: tuple[Any, ...] = (
    col(NoteTable.group_id),
    col(NoteTable.day),
    col(NoteTable.text),
    col(NoteTable.made_at),
)
ENROLMENT_FIELDS: tuple[Any, ...] = (
    col(EnrolmentTable.household_id),
    col(EnrolmentTable.name),
    col(EnrolmentTable.group_id),
    col(EnrolmentTable.joined_at),
    col(EnrolmentTable.level),
    col(EnrolmentTable.level_at),
    col(EnrolmentTable.level_until),
)
FOLLOWED_FIELDS: tuple[Any, ...] = (
    col(FollowedTable.through),
    col(FollowedTable.started_on),
    col(FollowedTable.phase),
    col(FollowedTable.last_mark),
    col(FollowedTable.due_since),
    col(FollowedTable.weeks),
)
SPELL_FIELDS: tuple[Any, ...] = (
    col(SpellTable.step),
    col(SpellTable.digest),
    col(SpellTable.entered_on),
    col(SpellTable.days),
    col(SpellTable.ending),
    col(SpellTable.ended_on),
    col(SpellTable.state),
    col(SpellTable.settled_on),
    col(SpellTable.outcomes),
    col(SpellTable.sunday_days),
    col(SpellTable.sunday_ending),
    col(SpellTable.pace),
)

IS_COACH = select(col(CoachTable.person_id)).where(col(CoachTable.person_id) == _COACH)
ADD_COACH = insert(CoachTable)
GROUPS = (
    select(*GROUP_FIELDS)
    .where(col(GroupTable.person_id) == _COACH)
    .order_by(col(GroupTable.made_at), col(GroupTable.group_id))
)
ONE_GROUP = select(*GROUP_FIELDS).where(col(GroupTable.group_id) == _GROUP)
CHANGE_GROUP = update(GroupTable).where(col(GroupTable.group_id) == _GROUP)
ADD_GROUP = insert(GroupTable)

KEPT_COURSES = (
    select(*_course, col(KeptCourseTable.added_at))
    .where(col(KeptCourseTable.person_id) == _COACH)
    .order_by(col(KeptCourseTable.added_at).desc(), col(KeptCourseTable.digest))
)
KEPT_COURSE = (
    select(*_course, col(KeptCourseTable.packed), col(KeptCourseTable.added_at))
    .where(col(KeptCourseTable.digest) == bindparam("version"))
    .order_by(case((col(KeptCourseTable.person_id) == _COACH, 0), else_=1), col(KeptCourseTable.added_at))
    .limit(1)
)
HAS_COURSE = select(col(KeptCourseTable.digest)).where(
    col(KeptCourseTable.person_id) == _COACH, col(KeptCourseTable.digest) == bindparam("version")
)
ADD_COURSE = insert(KeptCourseTable)

_held = col(HeldVersionTable.group_id) == _GROUP
HELD_VERSIONS = (
    select(col(HeldVersionTable.since), col(HeldVersionTable.digest))
    .where(_held)
    .order_by(col(HeldVersionTable.since))
)
DROP_HELD_VERSION = delete(HeldVersionTable).where(_held, col(HeldVersionTable.since) == _DAY)
ADD_HELD_VERSION = insert(HeldVersionTable)

_asked = col(QuestionTable.group_id) == _GROUP
_in_order = (col(QuestionTable.asked_at), col(QuestionTable.question_id))
QUESTIONS = select(*_question).where(_asked).order_by(*_in_order)
THEIR_QUESTIONS = (
    select(*_question).where(_asked, col(QuestionTable.household_id) == _HOUSEHOLD).order_by(*_in_order)
)
DROP_QUESTION = delete(QuestionTable).where(col(QuestionTable.question_id) == bindparam("question"))
ADD_QUESTION = insert(QuestionTable)
CLEAR_QUESTIONS = delete(QuestionTable).where(col(QuestionTable.household_id) == _HOUSEHOLD)

ANSWERS = (
    select(*_answer)
    .where(col(AnswerTable.group_id) == _GROUP)
    .order_by(col(AnswerTable.answered_at), col(AnswerTable.answer_id))
)
DROP_ANSWER = delete(AnswerTable).where(col(AnswerTable.answer_id) == bindparam("answer"))
ADD_ANSWER = insert(AnswerTable)

_noted = col(NoteTable.group_id) == _GROUP
NOTES = select(*_note).where(_noted).order_by(col(NoteTable.day).desc())
NOTE = select(*_note).where(_noted, col(NoteTable.day) == _DAY)
DROP_NOTE = delete(NoteTable).where(_noted, col(NoteTable.day) == _DAY)
ADD_NOTE = insert(NoteTable)

_shown = and_(col(PublishedTable.group_id) == _GROUP, col(PublishedTable.name) == bindparam("called"))
PUBLISHED = (
    select(col(PublishedTable.as_of), col(PublishedTable.content))
    .where(_shown)
    .order_by(col(PublishedTable.as_of))
)
DROP_PUBLISHED = delete(PublishedTable).where(_shown, col(PublishedTable.as_of) == _DAY)
ADD_PUBLISHED = insert(PublishedTable)
# With SQLite whoever writes has the whole file anyway.
ONE_TELLS = select(func.pg_advisory_xact_lock(0x5354, func.hashtext(_GROUP)))

_enrolled = col(EnrolmentTable.household_id) == _HOUSEHOLD
ENROLMENT = select(*ENROLMENT_FIELDS).where(_enrolled)
DROP_ENROLMENT = delete(EnrolmentTable).where(_enrolled)
ADD_ENROLMENT = insert(EnrolmentTable)

_followed = col(FollowedTable.household_id) == _HOUSEHOLD
FOLLOWED = select(*FOLLOWED_FIELDS).where(_followed)
DROP_FOLLOWED = delete(FollowedTable).where(_followed)
ADD_FOLLOWED = insert(FollowedTable)

_spent = col(SpellTable.household_id) == _HOUSEHOLD
SAVED_SPELLS = select(*SPELL_FIELDS).where(_spent).order_by(col(SpellTable.entered_on), col(SpellTable.step))
DROP_SPELLS = delete(SpellTable).where(_spent)
ADD_SPELLS = insert(SpellTable)

CLEAR = (DROP_SPELLS, DROP_FOLLOWED, DROP_ENROLMENT)

# The coach's counts: the only statements that touch several households.
_of_group = col(EnrolmentTable.group_id) == _GROUP
_may_be_seen = and_(col(EnrolmentTable.level) != "nothing", col(EnrolmentTable.level_until) >= _DAY)
HAS_MANY: Select[Any] = (
    select(3 * func.count() > text("(SELECT reltuples FROM pg_class WHERE oid = 'enrolment'::regclass)"))
    .select_from(EnrolmentTable)
    .where(_of_group, _may_be_seen)
)
"""Whether a group has so many of PostgreSQL's households that it is quicker to read what is saved of all."""


def _one_by_one(table: type[FollowedTable | SpellTable]) -> ColumnElement[bool]:
    return col(EnrolmentTable.household_id) == col(table.household_id)


def _all_at_once(table: type[FollowedTable | SpellTable]) -> ColumnElement[bool]:
    """The same, in an order that no index of PostgreSQL has, so that both tables are read from end to end.

    Behind a policy it expects few rows, and would look each household up, however many there are.
    """
    return collate(col(EnrolmentTable.household_id), "C") == collate(col(table.household_id), "C")


ENROLMENTS: Select[Any] = (
    select(*ENROLMENT_FIELDS)
    .where(_of_group)
    .order_by(col(EnrolmentTable.joined_at), col(EnrolmentTable.household_id))
)
SEEN: Select[Any] = (
    select(*ENROLMENT_FIELDS, *FOLLOWED_FIELDS)
    .join_from(
        EnrolmentTable,
        FollowedTable,
        col(FollowedTable.household_id) == col(EnrolmentTable.household_id),
        isouter=True,
    )
    .where(_of_group, _may_be_seen)
    .order_by(col(EnrolmentTable.joined_at), col(EnrolmentTable.household_id))
)
_grouped: tuple[Any, ...] = (
    col(SpellTable.digest),
    col(SpellTable.step),
    col(SpellTable.sunday_days),
    col(SpellTable.sunday_ending),
    col(EnrolmentTable.level),
)


def _ended(same_home: ColumnElement[bool]) -> Select[Any]:
    return (
        select(*_grouped, func.count())
        .join_from(SpellTable, EnrolmentTable, same_home)
        .where(_of_group, _may_be_seen, col(SpellTable.sunday_days) > 0)
        # What tells most comes first, which spares SQLite some of its comparing; who asks sorts what is left.
        .group_by(_grouped[2], _grouped[1], _grouped[3], _grouped[4], _grouped[0])
    )


ENDED = _ended(_one_by_one(SpellTable))
ENDED_OF_MANY = _ended(_all_at_once(SpellTable))
_paced = (col(SpellTable.pace), col(SpellTable.sunday_days), col(SpellTable.sunday_ending))
PACED = (
    select(*_paced, func.count())
    .join_from(SpellTable, EnrolmentTable, _one_by_one(SpellTable))
    .where(
        _of_group,
        _may_be_seen,
        col(SpellTable.step) == bindparam("about", type_=Text()),
        col(SpellTable.sunday_days) > 0,
    )
    .group_by(*_paced)
)
_started: tuple[Any, ...] = (
    col(FollowedTable.started_on),
    col(FollowedTable.weeks),
    col(EnrolmentTable.level),
)


def _weeks(same_home: ColumnElement[bool]) -> Select[Any]:
    return (
        select(*_started, func.count())
        .join_from(FollowedTable, EnrolmentTable, same_home)
        .where(_of_group, _may_be_seen)
        .group_by(*_started)
    )


WEEKS = _weeks(_one_by_one(FollowedTable))
WEEKS_OF_MANY = _weeks(_all_at_once(FollowedTable))
SPELLS_OF: Select[Any] = (
    select(col(SpellTable.household_id), *SPELL_FIELDS)
    .where(col(SpellTable.household_id).in_(bindparam("households", expanding=True)))
    .order_by(col(SpellTable.household_id), col(SpellTable.entered_on), col(SpellTable.step))
)
BEHIND: Select[Any] = (
    select(col(EnrolmentTable.household_id))
    .join_from(
        EnrolmentTable,
        FollowedTable,
        col(FollowedTable.household_id) == col(EnrolmentTable.household_id),
        isouter=True,
    )
    .where(
        _may_be_seen,
        or_(col(FollowedTable.through).is_(None), col(FollowedTable.through) < _DAY),
    )
    # What is saved of nobody yet comes first, on both databases.
    .order_by(
        col(FollowedTable.through).is_not(None), col(FollowedTable.through), col(EnrolmentTable.household_id)
    )
    .limit(bindparam("most"))
)
LINGERING: Select[Any] = (
    select(col(EnrolmentTable.household_id))
    .join_from(
        EnrolmentTable,
        FollowedTable,
        col(FollowedTable.household_id) == col(EnrolmentTable.household_id),
    )
    .where(or_(col(EnrolmentTable.level) == "nothing", col(EnrolmentTable.level_until) < _DAY))
    .order_by(col(EnrolmentTable.household_id))
    .limit(bindparam("most"))
)
