"""The statements about people and what lets them in, built once."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from sqlalchemy import Text, and_, bindparam, delete, func, insert, literal, or_, select, union, update
from sqlmodel import col

from coach.store.homes_statements import CODE as CODE_COLUMNS
from coach.store.homes_statements import SESSION as SESSION_COLUMNS
from coach.store.people_tables import (
    CoachTable,
    CodeTable,
    MemberTable,
    PersonTable,
    SessionTable,
    SignInTable,
    TallyTable,
)
from coach.store.tables import HouseholdTable, LogTable, PlanLogTable

if TYPE_CHECKING:
    from sqlalchemy import Select

_HOUSEHOLD = bindparam("household", type_=Text())
_PERSON = bindparam("person", type_=Text())
_SECRET = bindparam("shown", type_=Text())
_SESSION = bindparam("session", type_=Text())

_belongs = col(MemberTable.household_id) == _HOUSEHOLD
_is_in = col(SessionTable.household_id) == _HOUSEHOLD
_leads = col(CodeTable.household_id) == _HOUSEHOLD
_happened = col(SignInTable.household_id) == _HOUSEHOLD
_is_of_kind = col(CodeTable.kind) == bindparam("of_kind", type_=Text())
_is_of_group = col(CodeTable.group_id) == bindparam("group", type_=Text())

# A session with its person, and what that is in its household.
SHOWN: Select[Any] = (
    select(
        *SESSION_COLUMNS,
        col(PersonTable.name).label("person_name"),
        col(MemberTable.role),
        col(CoachTable.person_id).label("coach"),
    )
    .join_from(SessionTable, PersonTable, col(PersonTable.person_id) == col(SessionTable.person_id))
    .outerjoin(
        MemberTable,
        and_(
            col(MemberTable.household_id) == col(SessionTable.household_id),
            col(MemberTable.person_id) == col(SessionTable.person_id),
        ),
    )
    .outerjoin(CoachTable, col(CoachTable.person_id) == col(SessionTable.person_id))
    .where(col(SessionTable.secret) == _SECRET)
)
MEMBERS = (
    select(col(MemberTable.person_id), col(PersonTable.name), col(MemberTable.role), col(MemberTable.since))
    .join_from(MemberTable, PersonTable, col(PersonTable.person_id) == col(MemberTable.person_id))
    .where(_belongs)
    .order_by(col(MemberTable.since), col(MemberTable.person_id))
)
COUNT_MEMBERS = select(func.count()).where(_belongs)
# What every server answers.
ALIVE = select(literal(1))
NAMES = select(col(PersonTable.person_id), col(PersonTable.name)).where(
    col(PersonTable.person_id).in_(bindparam("people", expanding=True))
)
SESSIONS = (
    select(*SESSION_COLUMNS)
    .where(_is_in)
    .order_by(col(SessionTable.seen_at).desc(), col(SessionTable.session_id))
)
CODES = select(*CODE_COLUMNS).where(_leads).order_by(col(CodeTable.made_at).desc())
CODE = select(*CODE_COLUMNS).where(col(CodeTable.secret) == _SECRET)
SIGN_INS = (
    select(
        col(SignInTable.at),
        col(SignInTable.way),
        col(SignInTable.outcome),
        col(SignInTable.person_id),
        col(SignInTable.name),
        col(SignInTable.address),
    )
    .where(_happened)
    .order_by(col(SignInTable.seq).desc())
    .limit(bindparam("most"))
)
LAST_SIGN_IN = select(func.coalesce(func.max(col(SignInTable.seq)), 0)).where(_happened)
TALLY = select(col(TallyTable.since), col(TallyTable.count)).where(
    col(TallyTable.key) == bindparam("counted")
)

ADD_PERSON = insert(PersonTable)
ADD_MEMBER = insert(MemberTable)
ADD_SESSION = insert(SessionTable)
ADD_CODE = insert(CodeTable)
ADD_SIGN_IN = insert(SignInTable)
ADD_TALLY = insert(TallyTable)

RENAME = update(PersonTable).where(col(PersonTable.person_id) == _PERSON)
CHANGE_MEMBER = update(MemberTable).where(_belongs, col(MemberTable.person_id) == _PERSON)
CHANGE_SESSION = update(SessionTable).where(_is_in, col(SessionTable.session_id) == _SESSION)
TOUCH = update(SessionTable).where(col(SessionTable.session_id) == _SESSION)
COUNT_WRONG = (
    update(CodeTable)
    .where(_leads, _is_of_kind, col(CodeTable.ends_at) > bindparam("instant"))
    .values(wrong=col(CodeTable.wrong) + 1)
)
# One writes about people at a time; with SQLite a writer has the whole file anyway.
ONE_AT_A_TIME = select(func.pg_advisory_xact_lock(0x53544541))
VERSION = (
    select(col(HouseholdTable.version))
    .where(col(HouseholdTable.household_id) == _HOUSEHOLD)
    .with_for_update()
)
GROW = update(HouseholdTable).where(col(HouseholdTable.household_id) == _HOUSEHOLD)

FORGET_PERSON = delete(PersonTable).where(
    col(PersonTable.person_id) == _PERSON,
    ~select(col(MemberTable.person_id)).where(col(MemberTable.person_id) == _PERSON).exists(),
    ~select(col(CoachTable.person_id)).where(col(CoachTable.person_id) == _PERSON).exists(),
    ~select(col(LogTable.seq)).where(col(LogTable.by) == _PERSON).exists(),
    ~select(col(PlanLogTable.seq)).where(col(PlanLogTable.by) == _PERSON).exists(),
)
# Who belongs to a household, and who is named by its rows though they do not any more.
KNOWN = union(
    select(col(MemberTable.person_id)).where(_belongs),
    select(col(LogTable.by)).where(col(LogTable.household_id) == _HOUSEHOLD),
    select(col(PlanLogTable.by)).where(col(PlanLogTable.household_id) == _HOUSEHOLD),
)
DROP_MEMBER = delete(MemberTable).where(_belongs, col(MemberTable.person_id) == _PERSON)
DROP_THEIR_SESSIONS = delete(SessionTable).where(_is_in, col(SessionTable.person_id) == _PERSON)
DROP_SESSION = delete(SessionTable).where(_is_in, col(SessionTable.session_id) == _SESSION)
DROP_OVER = delete(SessionTable).where(
    _is_in,
    or_(
        col(SessionTable.ends_at) <= bindparam("instant"),
        and_(col(SessionTable.kind) == "browser", col(SessionTable.seen_at) <= bindparam("unseen")),
    ),
)
DROP_CODE = delete(CodeTable).where(col(CodeTable.secret) == _SECRET)
DROP_CODES = delete(CodeTable).where(_leads)
DROP_CODES_OVER = delete(CodeTable).where(_leads, col(CodeTable.ends_at) <= bindparam("instant"))
KEEP_CODES = delete(CodeTable).where(
    _leads,
    _is_of_kind,
    _is_of_group,
    col(CodeTable.secret).not_in(
        select(col(CodeTable.secret))
        .where(_leads, _is_of_kind, _is_of_group)
        .order_by(col(CodeTable.made_at).desc(), col(CodeTable.secret))
        .limit(bindparam("most"))
    ),
)
DROP_SIGN_INS = delete(SignInTable).where(_happened, col(SignInTable.seq) <= bindparam("number"))
DROP_TALLY = delete(TallyTable).where(col(TallyTable.key) == bindparam("counted"))
DROP_TALLIES = delete(TallyTable).where(col(TallyTable.since) < bindparam("instant"))
CLEAR = (
    delete(SessionTable).where(_is_in),
    delete(CodeTable).where(_leads),
    delete(SignInTable).where(_happened),
    delete(MemberTable).where(_belongs),
)
