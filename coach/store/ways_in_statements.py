"""The statements about passkeys, recovery sheets and ceremonies, built once."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Text, bindparam, delete, func, insert, select, update
from sqlmodel import col

from coach.store.people_tables import (
    CeremonyTable,
    CoachTable,
    MemberTable,
    PasskeyTable,
    PersonTable,
    RecoveryTable,
)

_PERSON = bindparam("person", type_=Text())
_CREDENTIAL = bindparam("found", type_=Text())
_SECRET = bindparam("shown", type_=Text())

_passkey: tuple[Any, ...] = (
    col(PasskeyTable.credential),
    col(PasskeyTable.person_id),
    col(PasskeyTable.public_key),
    col(PasskeyTable.counter),
    col(PasskeyTable.name),
    col(PasskeyTable.made_at),
    col(PasskeyTable.seen_at),
)
_is_theirs = col(PasskeyTable.person_id) == _PERSON
_is_it = col(PasskeyTable.credential) == _CREDENTIAL

PASSKEYS = (
    select(*_passkey).where(_is_theirs).order_by(col(PasskeyTable.made_at), col(PasskeyTable.credential))
)
PASSKEY = select(*_passkey).where(_is_it)
SHEET = (
    select(col(RecoveryTable.sheet_id), func.min(col(RecoveryTable.made_at)), func.count())
    .where(col(RecoveryTable.person_id) == _PERSON)
    .group_by(col(RecoveryTable.sheet_id))
)
IS_SHEET = (
    select(col(RecoveryTable.sheet_id)).where(col(RecoveryTable.sheet_id) == bindparam("sheet")).limit(1)
)
CALLED = select(col(PersonTable.name)).where(col(PersonTable.person_id) == _PERSON)
RECOVERING = select(col(RecoveryTable.person_id)).where(col(RecoveryTable.secret) == _SECRET)
CEREMONY = select(col(CeremonyTable.kind), col(CeremonyTable.person_id), col(CeremonyTable.ends_at)).where(
    col(CeremonyTable.secret) == _SECRET
)

ADD_PASSKEY = insert(PasskeyTable)
ADD_RECOVERY = insert(RecoveryTable)
ADD_CEREMONY = insert(CeremonyTable)
NAME_PASSKEY = update(PasskeyTable).where(_is_theirs, _is_it)
USE_PASSKEY = update(PasskeyTable).where(_is_it)

DROP_PASSKEY = delete(PasskeyTable).where(_is_theirs, _is_it)
DROP_RECOVERY = delete(RecoveryTable).where(col(RecoveryTable.secret) == _SECRET)
DROP_SHEET = delete(RecoveryTable).where(col(RecoveryTable.person_id) == _PERSON)
DROP_CEREMONY = delete(CeremonyTable).where(col(CeremonyTable.secret) == _SECRET)
DROP_CEREMONIES = delete(CeremonyTable).where(col(CeremonyTable.ends_at) <= bindparam("instant"))
KEEP_CEREMONIES = delete(CeremonyTable).where(
    col(CeremonyTable.secret).not_in(
        select(col(CeremonyTable.secret))
        .order_by(col(CeremonyTable.ends_at).desc(), col(CeremonyTable.secret))
        .limit(bindparam("most"))
    )
)
COUNT_CEREMONIES = select(func.count()).select_from(CeremonyTable)

_belongs = select(col(MemberTable.person_id)).where(col(MemberTable.person_id) == _PERSON).exists()
_coaches = select(col(CoachTable.person_id)).where(col(CoachTable.person_id) == _PERSON).exists()
# What lets nobody in anywhere any more, since they belong nowhere and coach nobody.
DROP_WITH_PERSON = (
    delete(PasskeyTable).where(_is_theirs, ~_belongs, ~_coaches),
    delete(RecoveryTable).where(col(RecoveryTable.person_id) == _PERSON, ~_belongs, ~_coaches),
    delete(CeremonyTable).where(col(CeremonyTable.person_id) == _PERSON, ~_belongs, ~_coaches),
)
