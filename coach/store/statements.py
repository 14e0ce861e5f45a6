"""The statements of the store, built once; every one of them names the household first."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import (
    BigInteger,
    Integer,
    LargeBinary,
    Text,
    and_,
    bindparam,
    cast,
    delete,
    func,
    insert,
    literal_column,
    or_,
    select,
    text,
    union_all,
    update,
)
from sqlmodel import col

from coach.progress.log import MARKING, TOLD
from coach.store.coaching_tables import EnrolmentTable
from coach.store.people_tables import MemberTable, PersonTable
from coach.store.tables import (
    DECISIONS,
    AnsweredTable,
    CourseVersionTable,
    HouseholdTable,
    LogTable,
    PlanLogTable,
    PlanStateTable,
    PlanValueTable,
    StandingTable,
)

if TYPE_CHECKING:
    from datetime import date

    from sqlalchemy import ColumnElement, Executable, Select
    from sqlalchemy.orm import Mapped

_HOUSEHOLD = bindparam("household", type_=Text())

_own = col(HouseholdTable.household_id) == _HOUSEHOLD
_logged = col(LogTable.household_id) == _HOUSEHOLD
_versioned = col(CourseVersionTable.household_id) == _HOUSEHOLD
_saved = col(StandingTable.household_id) == _HOUSEHOLD
_planned = col(PlanLogTable.household_id) == _HOUSEHOLD
_holding = col(PlanValueTable.household_id) == _HOUSEHOLD
_folded = col(PlanStateTable.household_id) == _HOUSEHOLD

_members = (
    select(func.count()).where(col(MemberTable.household_id) == _HOUSEHOLD).scalar_subquery().label("members")
)

_group = func.coalesce(
    select(col(EnrolmentTable.group_id))
    .where(col(EnrolmentTable.household_id) == _HOUSEHOLD)
    .scalar_subquery(),
    "",
).label("in_group")

HOUSEHOLD = select(
    col(HouseholdTable.course),
    col(HouseholdTable.zone),
    col(HouseholdTable.day_starts),
    col(HouseholdTable.version),
    col(HouseholdTable.week_starts),
    _members,
    _group,
).where(_own)

# The household with the versions of its course: a row for each of them, and one where there is none.
OPENING = (
    select(
        *HOUSEHOLD.selected_columns,
        col(CourseVersionTable.since),
        col(CourseVersionTable.digest),
    )
    .join_from(
        HouseholdTable,
        CourseVersionTable,
        col(CourseVersionTable.household_id) == col(HouseholdTable.household_id),
        isouter=True,
    )
    .where(_own)
    .order_by(col(CourseVersionTable.since))
)

# For servers; with SQLite a writer has the whole file from BEGIN IMMEDIATE on.
LOCK = select(col(HouseholdTable.version)).where(_own).with_for_update()

# Sets the columns that it is run with.
CHANGE = update(HouseholdTable).where(_own)

_row = (col(LogTable.date), col(LogTable.what), col(LogTable.step), col(LogTable.value))
ROWS = select(*_row).where(_logged).order_by(col(LogTable.seq))
ROWS_SINCE = (
    select(*_row).where(_logged, col(LogTable.date) >= bindparam("since")).order_by(col(LogTable.seq))
)
# When marks were made, for the hours a household keeps; many are excused at once, at any hour.
MARKED_SINCE = select(
    col(LogTable.date), col(LogTable.step), func.coalesce(col(LogTable.tapped_at), col(LogTable.logged_at))
).where(_logged, col(LogTable.date) >= bindparam("since"), col(LogTable.what).in_(sorted(TOLD)))
# The last row of each date and step that marks it or takes its mark back.
_marked_last = (
    select(func.max(col(LogTable.seq)))
    .where(
        _logged,
        col(LogTable.date).between(bindparam("first"), bindparam("last")),
        col(LogTable.what).in_(sorted(MARKING)),
    )
    .group_by(col(LogTable.date), col(LogTable.step))
)
SIGNED = (
    select(
        col(LogTable.date),
        col(LogTable.step),
        col(LogTable.what),
        col(LogTable.by),
        func.coalesce(col(LogTable.tapped_at), col(LogTable.logged_at)),
        col(LogTable.version),
    )
    .where(_logged, col(LogTable.seq).in_(_marked_last))
    .order_by(col(LogTable.seq))
)
# By an index of these few rows alone, which serves only what says the same condition word for word.
DECIDED = (
    select(col(LogTable.step), func.max(col(LogTable.logged_at)))
    .where(_logged, text(DECISIONS))
    .group_by(col(LogTable.step))
)
NAMES = (
    select(func.coalesce(col(PersonTable.name), ""))
    .join_from(LogTable, PersonTable, col(PersonTable.person_id) == col(LogTable.by), isouter=True)
    .where(_logged)
    .order_by(col(LogTable.seq))
)
AUTHORS = select(col(LogTable.by)).where(_logged).order_by(col(LogTable.seq))
# Whether somebody wrote any row; only a transaction that looks for an author sees another household's.
_PERSON = bindparam("person", type_=Text())
WROTE_ANYWHERE = select(
    or_(
        select(col(LogTable.seq)).where(col(LogTable.by) == _PERSON).exists(),
        select(col(PlanLogTable.seq)).where(col(PlanLogTable.by) == _PERSON).exists(),
    )
)
# For a log of which nothing is sure: every cell as it is, SQLite's as bytes.
_AS_IT_IS = Text().with_variant(LargeBinary(), "sqlite")
RAW_ROWS = select(*(cast(column, _AS_IT_IS) for column in _row)).where(_logged).order_by(col(LogTable.seq))
# As text, so that a saved fold whose date is damaged hinders no write; it is thrown away like a late one.
_last_planned = select(cast(func.max(col(PlanStateTable.through)), Text)).where(_folded).scalar_subquery()

# The number of the last row, whether a request wrote some already, and the last dates that were folded.
TAIL = select(
    select(func.coalesce(func.max(col(LogTable.seq)), 0)).where(_logged).scalar_subquery(),
    select(col(LogTable.seq))
    .where(_logged, col(LogTable.request_id) == bindparam("request"))
    .scalar_subquery(),
    select(cast(func.max(col(StandingTable.through)), Text)).where(_saved).scalar_subquery(),
    _last_planned,
)

# A row for each log in which the request wrote.
WROTE = union_all(
    select(col(LogTable.seq)).where(_logged, col(LogTable.request_id) == bindparam("request")),
    select(col(PlanLogTable.seq)).where(_planned, col(PlanLogTable.request_id) == bindparam("request")),
)

COURSE_CONTENT = (
    select(col(CourseVersionTable.content))
    .where(_versioned, col(CourseVersionTable.digest) == bindparam("course_digest"))
    .limit(1)
)
STANDING = (
    select(col(StandingTable.through), col(StandingTable.digest), col(StandingTable.state))
    .where(
        _saved,
        col(StandingTable.through) < bindparam("before"),
        col(StandingTable.digest).in_(bindparam("digests", expanding=True)),
    )
    .order_by(col(StandingTable.through).desc())
    .limit(1)
)

_value = (col(PlanValueTable.key), col(PlanValueTable.value))
_of_kind = col(PlanValueTable.what) == bindparam("kind")


def _plan_part(number: int, *, is_bounded: bool) -> Select[int, str, str]:
    """What holds of one kind, between two keys or from one on, told apart by a number."""
    first = col(PlanValueTable.key) >= bindparam(f"first_{number}")
    last = (col(PlanValueTable.key) <= bindparam(f"last_{number}"),) if is_bounded else ()
    of_kind = col(PlanValueTable.what) == bindparam(f"kind_{number}")
    return select(literal_column(str(number), Integer), *_value).where(_holding, of_kind, first, *last)


@lru_cache(maxsize=256)
def plan_parts(bounded: tuple[bool, ...]) -> Executable:
    """One statement for so many parts of the plan; `bounded` says of each whether it has a last key."""
    parts = [_plan_part(number, is_bounded=is_bounded) for number, is_bounded in enumerate(bounded)]
    return union_all(*parts) if len(parts) > 1 else parts[0]


def _instants_part(number: int, *, is_bounded: bool) -> Select[int, str, Any]:
    """When what holds of one kind was written, between two keys or from one on, told apart by a number."""
    part = _plan_part(number, is_bounded=is_bounded)
    written = and_(_planned, col(PlanLogTable.seq) == col(PlanValueTable.seq))
    number_of, key, _ = part.selected_columns
    return part.with_only_columns(number_of, key, col(PlanLogTable.logged_at)).join_from(
        PlanValueTable, PlanLogTable, written
    )


@lru_cache(maxsize=256)
def plan_instants(bounded: tuple[bool, ...]) -> Executable:
    """The same as `plan_parts` with the instants in the place of the values."""
    parts = [_instants_part(number, is_bounded=is_bounded) for number, is_bounded in enumerate(bounded)]
    return union_all(*parts) if len(parts) > 1 else parts[0]


PLAN_ALL = (
    select(col(PlanValueTable.what), *_value)
    .where(_holding)
    .order_by(col(PlanValueTable.what), col(PlanValueTable.key))
)
PLAN_HISTORY = (
    select(col(PlanLogTable.date), col(PlanLogTable.what), col(PlanLogTable.key), col(PlanLogTable.value))
    .where(_planned, col(PlanLogTable.what) == bindparam("kind"), col(PlanLogTable.key) == bindparam("about"))
    .order_by(col(PlanLogTable.seq).desc())
    .limit(bindparam("most", type_=BigInteger()))
)
# As for the log.
PLAN_TAIL = select(
    select(func.coalesce(func.max(col(PlanLogTable.seq)), 0)).where(_planned).scalar_subquery(),
    select(col(PlanLogTable.seq))
    .where(_planned, col(PlanLogTable.request_id) == bindparam("request"))
    .scalar_subquery(),
    _last_planned,
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


def _is_thinned_out(through: Mapped[date]) -> ColumnElement[bool]:
    """Whether a fold is old and none of those that stay."""
    return and_(through < bindparam("old"), through.not_in(bindparam("spaced", expanding=True)))


_replied = col(AnsweredTable.household_id) == _HOUSEHOLD
ANSWERED = select(col(AnsweredTable.asked), col(AnsweredTable.status), col(AnsweredTable.body)).where(
    _replied,
    col(AnsweredTable.request_id) == bindparam("request"),
    col(AnsweredTable.at) >= bindparam("answered_since"),
)
DROP_ANSWERED = delete(AnsweredTable).where(_replied, col(AnsweredTable.at) < bindparam("before"))
ADD_ANSWERED = insert(AnsweredTable)

ADD_HOUSEHOLD = insert(HouseholdTable)
ADD_ROWS = insert(LogTable)
ADD_COURSE = insert(CourseVersionTable)
ADD_STANDING = insert(StandingTable)
ADD_PLAN_ROWS = insert(PlanLogTable)
ADD_PLAN_VALUES = insert(PlanValueTable)
ADD_PLAN_STATE = insert(PlanStateTable)

DROP_COURSE = delete(CourseVersionTable).where(_versioned, col(CourseVersionTable.since) == bindparam("on"))
DROP_STANDINGS = delete(StandingTable).where(
    _saved,
    or_(
        col(StandingTable.through).in_(bindparam("dates", expanding=True)),
        _is_thinned_out(col(StandingTable.through)),
    ),
)
DROP_STANDINGS_FROM = delete(StandingTable).where(_saved, col(StandingTable.through) >= bindparam("on"))
DROP_PLAN_VALUES = delete(PlanValueTable).where(
    _holding, _of_kind, col(PlanValueTable.key) == bindparam("about")
)
DROP_PLAN_STATE = delete(PlanStateTable).where(
    _folded,
    col(PlanStateTable.name) == bindparam("fold"),
    or_(
        col(PlanStateTable.through) == bindparam("on"),
        _is_thinned_out(col(PlanStateTable.through)),
    ),
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
    delete(AnsweredTable).where(_replied),
    delete(HouseholdTable).where(_own),
)
