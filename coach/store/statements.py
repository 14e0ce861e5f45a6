"""The statements of the store, built once; every one of them names the household first."""

from __future__ import annotations

from sqlalchemy import BigInteger, Text, bindparam, case, delete, func, insert, select, update
from sqlmodel import col

from coach.store.tables import (
    CourseVersionTable,
    HouseholdTable,
    LogTable,
    PlanLogTable,
    PlanStateTable,
    PlanValueTable,
    StandingTable,
)

_HOUSEHOLD = bindparam("household", type_=Text())

_own = col(HouseholdTable.household_id) == _HOUSEHOLD
_logged = col(LogTable.household_id) == _HOUSEHOLD
_versioned = col(CourseVersionTable.household_id) == _HOUSEHOLD
_saved = col(StandingTable.household_id) == _HOUSEHOLD
_planned = col(PlanLogTable.household_id) == _HOUSEHOLD
_holding = col(PlanValueTable.household_id) == _HOUSEHOLD
_folded = col(PlanStateTable.household_id) == _HOUSEHOLD

HOUSEHOLD = select(
    col(HouseholdTable.course),
    col(HouseholdTable.zone),
    col(HouseholdTable.day_starts),
    col(HouseholdTable.version),
    col(HouseholdTable.week_starts),
).where(_own)

# SQLite has no such lock and leaves the words out: there a writer has the whole file from BEGIN IMMEDIATE on.
LOCK = select(col(HouseholdTable.version)).where(_own).with_for_update()

# The clock keeps a version from coming back after a household was deleted, imported or restored.
_next = col(HouseholdTable.version) + 1
_now = bindparam("now", type_=BigInteger())
GROW = update(HouseholdTable).where(_own).values(version=case((_next > _now, _next), else_=_now))

# Sets the columns that it is run with.
CHANGE = update(HouseholdTable).where(_own)

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

_value = (col(PlanValueTable.key), col(PlanValueTable.value))
_of_kind = col(PlanValueTable.what) == bindparam("kind")
PLAN = (
    select(*_value)
    .where(_holding, _of_kind, col(PlanValueTable.key) >= bindparam("first"))
    .order_by(col(PlanValueTable.key))
)
PLAN_THROUGH = PLAN.where(col(PlanValueTable.key) <= bindparam("last"))
PLAN_MANY = (
    select(col(PlanValueTable.what), *_value)
    .where(_holding, col(PlanValueTable.what).in_(bindparam("kinds", expanding=True)))
    .order_by(col(PlanValueTable.what), col(PlanValueTable.key))
)
PLAN_HISTORY = (
    select(col(PlanLogTable.date), col(PlanLogTable.what), col(PlanLogTable.key), col(PlanLogTable.value))
    .where(_planned, col(PlanLogTable.what) == bindparam("kind"), col(PlanLogTable.key) == bindparam("about"))
    .order_by(col(PlanLogTable.seq).desc())
    .limit(bindparam("most", type_=BigInteger()))
)
LAST_PLAN_SEQ = select(func.coalesce(func.max(col(PlanLogTable.seq)), 0)).where(_planned)
PLAN_REQUEST = select(col(PlanLogTable.seq)).where(
    _planned, col(PlanLogTable.request_id) == bindparam("request")
)
PLAN_STATE = (
    select(col(PlanStateTable.through), col(PlanStateTable.digest), col(PlanStateTable.state))
    .where(
        _folded,
        col(PlanStateTable.name) == bindparam("fold"),
        col(PlanStateTable.through) < bindparam("before"),
        col(PlanStateTable.digest) == bindparam("fold_digest"),
    )
    .order_by(col(PlanStateTable.through).desc())
    .limit(1)
)

ADD_HOUSEHOLD = insert(HouseholdTable)
ADD_ROWS = insert(LogTable)
ADD_COURSE = insert(CourseVersionTable)
ADD_STANDING = insert(StandingTable)
ADD_PLAN_ROWS = insert(PlanLogTable)
ADD_PLAN_VALUES = insert(PlanValueTable)
ADD_PLAN_STATE = insert(PlanStateTable)

DROP_COURSE = delete(CourseVersionTable).where(_versioned, col(CourseVersionTable.since) == bindparam("on"))
DROP_STANDING = delete(StandingTable).where(_saved, col(StandingTable.through) == bindparam("on"))
DROP_STANDINGS_FROM = delete(StandingTable).where(_saved, col(StandingTable.through) >= bindparam("on"))
DROP_PLAN_VALUES = delete(PlanValueTable).where(
    _holding, _of_kind, col(PlanValueTable.key) == bindparam("about")
)
DROP_PLAN_STATE = delete(PlanStateTable).where(
    _folded, col(PlanStateTable.name) == bindparam("fold"), col(PlanStateTable.through) == bindparam("on")
)
DROP_PLAN_STATES_FROM = delete(PlanStateTable).where(_folded, col(PlanStateTable.through) >= bindparam("on"))

CLEAR_LOG = (
    delete(PlanStateTable).where(_folded),
    delete(StandingTable).where(_saved),
    delete(CourseVersionTable).where(_versioned),
    delete(LogTable).where(_logged),
)

# In this order, because the household's own row is what the others refer to.
CLEAR = (
    *CLEAR_LOG,
    delete(PlanValueTable).where(_holding),
    delete(PlanLogTable).where(_planned),
    delete(HouseholdTable).where(_own),
)
