"""The statements about the households of people and about who coaches, built once."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Text, bindparam, delete, func, insert, select, update
from sqlmodel import col

from coach.store.people_tables import CoachTable, CodeTable, MemberTable, PersonTable, SessionTable

SESSION: tuple[Any, ...] = (
    col(SessionTable.session_id),
    col(SessionTable.household_id),
    col(SessionTable.person_id),
    col(SessionTable.kind),
    col(SessionTable.scope),
    col(SessionTable.name),
    col(SessionTable.made_at),
    col(SessionTable.seen_at),
    col(SessionTable.ends_at),
    col(SessionTable.as_coach),
)
"""What a session is made of."""

CODE: tuple[Any, ...] = (
    col(CodeTable.household_id),
    col(CodeTable.kind),
    col(CodeTable.person_id),
    col(CodeTable.made_by),
    col(CodeTable.uses),
    col(CodeTable.wrong),
    col(CodeTable.made_at),
    col(CodeTable.ends_at),
    col(CodeTable.group_id),
    col(CodeTable.name),
    col(CodeTable.begins),
)
"""What a code is made of."""

_PERSON = bindparam("person", type_=Text())
_is_theirs = col(SessionTable.person_id) == _PERSON
_leads_into = col(CodeTable.group_id) == bindparam("group", type_=Text())
_begins = col(CodeTable.begins) == bindparam("named_by", type_=Text())

HOMES = (
    select(col(MemberTable.household_id), col(MemberTable.role), col(MemberTable.since))
    .where(col(MemberTable.person_id) == _PERSON)
    .order_by(col(MemberTable.since), col(MemberTable.household_id))
)
ROLE = select(col(MemberTable.role)).where(
    col(MemberTable.household_id) == bindparam("household", type_=Text()),
    col(MemberTable.person_id) == _PERSON,
)
COUNT_HOMES = select(func.count(col(MemberTable.household_id).distinct()))
IS_COACH = select(col(CoachTable.person_id)).where(col(CoachTable.person_id) == _PERSON)
SESSIONS_OF = (
    select(*SESSION)
    .where(_is_theirs)
    .order_by(col(SessionTable.seen_at).desc(), col(SessionTable.session_id))
)
EVERYBODY = (
    select(
        col(PersonTable.person_id),
        col(PersonTable.name),
        col(PersonTable.made_at),
        col(CoachTable.person_id).is_not(None),
    )
    .outerjoin_from(PersonTable, CoachTable, col(CoachTable.person_id) == col(PersonTable.person_id))
    .order_by(col(PersonTable.made_at), col(PersonTable.person_id))
)
CODES_OF = select(*CODE).where(_leads_into).order_by(col(CodeTable.made_at).desc())
CODE_NAMED = select(*CODE).where(_begins).order_by(col(CodeTable.made_at).desc()).limit(1)

ADD_COACH = insert(CoachTable)
CHOOSE = update(SessionTable).where(col(SessionTable.session_id) == bindparam("session", type_=Text()))
DROP_SESSIONS_OF = delete(SessionTable).where(_is_theirs)
COUNT_WRONG_NAMED = (
    update(CodeTable)
    .where(_begins, col(CodeTable.ends_at) > bindparam("instant"))
    .values(wrong=col(CodeTable.wrong) + 1)
)
DROP_EVERY_CODE_OVER = delete(CodeTable).where(col(CodeTable.ends_at) <= bindparam("instant"))
DROP_CODES_OF = delete(CodeTable).where(_leads_into)
DROP_CODES_OVER_OF = delete(CodeTable).where(_leads_into, col(CodeTable.ends_at) <= bindparam("instant"))
