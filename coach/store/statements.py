"""The statements of the store, built once; every one of them names the household first."""

from __future__ import annotations

from sqlalchemy import BigInteger, Text, bindparam, case, delete, func, insert, select, update
from sqlmodel import col

from coach.store.tables import CourseVersionTable, HouseholdTable, LogTable, StandingTable

_HOUSEHOLD = bindparam("household", type_=Text())

_own = col(HouseholdTable.household_id) == _HOUSEHOLD
_logged = col(LogTable.household_id) == _HOUSEHOLD
_versioned = col(CourseVersionTable.household_id) == _HOUSEHOLD
_saved = col(StandingTable.household_id) == _HOUSEHOLD

HOUSEHOLD = select(
    col(HouseholdTable.course),
    col(HouseholdTable.zone),
    col(HouseholdTable.day_starts),
    col(HouseholdTable.version),
).where(_own)

# SQLite has no such lock and leaves the words out: there a writer has the whole file from BEGIN IMMEDIATE on.
LOCK = select(col(HouseholdTable.version)).where(_own).with_for_update()

# The clock keeps a version from coming back after a household was deleted, imported or restored.
_next = col(HouseholdTable.version) + 1
_now = bindparam("now", type_=BigInteger())
GROW = update(HouseholdTable).where(_own).values(version=case((_next > _now, _next), else_=_now))

SETTINGS = (
    update(HouseholdTable)
    .where(_own)
    .values(zone=bindparam("new_zone"), day_starts=bindparam("new_day_starts"))
)

_row = (col(LogTable.date), col(LogTable.what), col(LogTable.step), col(LogTable.value))
ROWS = select(*_row).where(_logged).order_by(col(LogTable.seq))
ROWS_SINCE = (
    select(*_row).where(_logged, col(LogTable.date) >= bindparam("since")).order_by(col(LogTable.seq))
)
LAST_SEQ = select(func.coalesce(func.max(col(LogTable.seq)), 0)).where(_logged)
REQUEST = select(col(LogTable.seq)).where(_logged, col(LogTable.request_id) == bindparam("request"))

COURSES = (
    select(col(CourseVersionTable.since), col(CourseVersionTable.digest), col(CourseVersionTable.content))
    .where(_versioned)
    .order_by(col(CourseVersionTable.since))
)
STANDING = (
    select(col(StandingTable.through), col(StandingTable.digest), col(StandingTable.state))
    .where(
        _saved,
        col(StandingTable.through) < bindparam("before"),
        col(StandingTable.digest) == bindparam("standing_digest"),
    )
    .order_by(col(StandingTable.through).desc())
    .limit(1)
)

ADD_HOUSEHOLD = insert(HouseholdTable)
ADD_ROWS = insert(LogTable)
ADD_COURSE = insert(CourseVersionTable)
ADD_STANDING = insert(StandingTable)

DROP_COURSE = delete(CourseVersionTable).where(_versioned, col(CourseVersionTable.since) == bindparam("on"))
DROP_STANDING = delete(StandingTable).where(_saved, col(StandingTable.through) == bindparam("on"))
DROP_STANDINGS_FROM = delete(StandingTable).where(_saved, col(StandingTable.through) >= bindparam("on"))

# In this order, because the household's own row is what the others refer to.
CLEAR = (
    delete(StandingTable).where(_saved),
    delete(CourseVersionTable).where(_versioned),
    delete(LogTable).where(_logged),
    delete(HouseholdTable).where(_own),
)
