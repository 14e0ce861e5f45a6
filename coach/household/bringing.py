"""A home lived elsewhere takes the place of a household that has just begun, and can be taken back."""

from __future__ import annotations

import json
import secrets
from dataclasses import replace
from hashlib import sha256
from typing import TYPE_CHECKING

from coach.course.jsonform import course_from_json, course_json
from coach.course.shapes import UNREADABLE
from coach.errors import NotEditable
from coach.ground.kept import Kept
from coach.ground.people import KEEPER, MEMBER
from coach.ground.ports import CourseVersion
from coach.ground.situation import today_of
from coach.ground.versions import present, usual
from coach.household.adopting import checked, put_home, with_people
from coach.household.comparing import Holding, compare, holding
from coach.household.data import refuse_if_changed
from coach.household.home_file import HomeFile, Named, write_home
from coach.household.home_file_reading import read_home
from coach.household.kept_log import NAME, PLACE, home_row, kept_log
from coach.household.leaving import lived_here
from coach.household.names import is_same
from coach.household.pairing import MOST_MEMBERS
from coach.progress.log import What

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from coach.course.model import Course
    from coach.ground.people import Member
    from coach.ground.plan_rows import PlannedRow, PlanRow
    from coach.ground.ports import Context, Household, Reading, Writing
    from coach.household.answers import Comparison

BRING_DAYS = 28
"""So many days after its start a household may still be replaced by one that was lived elsewhere."""

TAKEN = "taken"
"""The kind of the plan whose values name a person."""

SHARING = "sharing"
"""The kind of the plan that says what was chosen to be seen by a coach."""

TOO_LATE = (
    f"A home is brought along within {BRING_DAYS} days of the start here, and this household has lived here "
    "for longer. Nothing was changed."
)


def may_bring(context: Context, household: str) -> bool:
    """Whether the household has just begun, or not at all."""
    with context.store.reading(household) as reading:
        return _has_just_begun(context, reading)


def compare_home(context: Context, household: str, content: bytes) -> Comparison:
    """What a file holds beside what is here; nothing is changed.

    Raises:
        NotEditable: The household has lived here for too long.
        Malformed: It is no such file, or its days cannot be folded.
        FaultyFile: Parts of it have faults; all of them are named.
    """
    held = checked(context, household, content)
    with context.store.reading(household) as reading:
        _refuse_too_late(context, reading)
        return _compared(reading, held)


def _compared(reading: Reading, held: HomeFile) -> Comparison:
    last = {(one.row.what, one.row.key): one.row.value for one in held.plan}
    plan = [(what, key, value) for (what, key), value in last.items() if value]
    return compare(holding(reading, with_plan=True), Holding([one.row for one in held.log], plan))


def bring_along(context: Context, household: str, content: bytes, seen: int | None = None) -> Kept | None:
    """Put a home that was lived elsewhere in the place of one that has just begun; what was here is kept.

    Nobody in the file is taken for somebody of this service: its people become those of the same name here,
    or new ones of this household alone. Its course is followed as it was, and from today on as it is here.

    Raises:
        NotEditable: What is here is another version than the one seen, or has lived here for too long.
        Malformed: It is no such file, or its days cannot be folded.
        FaultyFile: Parts of it have faults; all of them are named.
    """
    held = checked(context, household, content)
    with context.store.reading(household) as reading:
        _refuse_too_late(context, reading)
        ours = _made_ours(context, held, reading.household(), reading.members())
    return _replace(context, household, ours, seen)


def compare_kept_home(reading: Reading) -> Comparison | None:
    """The home that was kept beside what is here; None where none was."""
    before = kept_log(reading)
    if before is None or not before.home:
        return None
    held, _ = read_home(before.home, "")
    return _compared(reading, held)


def put_home_back(context: Context, household: str, content: bytes, seen: int | None) -> Kept | None:
    """Put a home that was kept in the place of what is here, which is kept in its turn.

    Whoever came along with what goes away and has paired no device goes with it. The course is followed as it
    is here now: the household may have left the group in which it was kept.

    Raises:
        NotEditable: What is here is another version than the one seen.
    """
    held, _ = read_home(content, household)
    kept = _replace(context, household, held, seen)
    stay = {one.id for one in held.people}
    with context.store.people_writing() as writing:
        stay |= {one.person for one in writing.sessions(household)}
        for one in writing.members(household):
            if one.person not in stay and one.role != KEEPER:
                writing.drop_member(household, one.person)
                writing.forget_person(one.person)
    return kept


def _replace(context: Context, household: str, held: HomeFile, seen: int | None) -> Kept | None:
    with with_people(context, household, held.people), context.store.writing(household) as writing:
        home = writing.household()
        refuse_if_changed(home.version if home else 0, seen)
        kept, row = _keep(context, writing)
        put_home(context, writing, _as_chosen_here(writing, held, home))
        if row is not None:
            writing.put_plan([row], context.clock())
    return kept


def _keep(context: Context, writing: Writing) -> tuple[Kept | None, PlanRow | None]:
    """Keep what is here: as a copy of the whole file, or as a row to be written once the plan is replaced."""
    if writing.household() is None:
        return None, None
    if context.copies is not None:
        return context.copies.keep("import"), None
    now = context.clock()
    return Kept(NAME, now, "import", PLACE), home_row(now, write_home(lived_here(writing)))


def _as_chosen_here(writing: Writing, held: HomeFile, home: Household | None) -> HomeFile:
    """The file with the course that is followed here, and with what was chosen here to share."""
    chosen = [one for one in writing.planned_rows() if one.row.what == SHARING]
    plan = [*(one for one in held.plan if one.row.what != SHARING), *chosen]
    followed = held.home if home is None else replace(held.home, course=home.course)
    return replace(held, home=followed, plan=plan)


def _refuse_too_late(context: Context, reading: Reading) -> None:
    if not _has_just_begun(context, reading):
        raise NotEditable(TOO_LATE)


def _has_just_begun(context: Context, reading: Reading) -> bool:
    home = reading.household()
    if home is None:
        return True
    started = next((row.date for row in reading.rows() if row.what is What.START), None)
    return started is None or (today_of(context, home) - started).days <= BRING_DAYS


def _made_ours(
    context: Context, held: HomeFile, home: Household | None, members: Sequence[Member]
) -> HomeFile:
    """A file with nothing in it that could be taken for somebody else's here."""
    people = _people(held.people, members)
    keys = {one.id: mine.id for one, mine in zip(held.people, people, strict=True)}
    known = {one.person for one in members}
    return HomeFile(
        name=held.name,
        home=replace(held.home, course=context.course if home is None else home.course),
        people=tuple({one.id: one for one in people if one.id not in known}.values()),
        log=[one._replace(by=keys.get(one.by, "")) for one in held.log],
        plan=[_plan_row(one, keys) for one in held.plan],
        courses=tuple(_version(context, home, version, content) for version, content in held.courses),
    )


def _people(people: Sequence[Named], members: Sequence[Member]) -> list[Named]:
    """For each of them who they are here: the member of that name, or somebody new."""
    left = MOST_MEMBERS - len(members)
    found: list[Named] = []
    for one in people:
        same = next((member for member in members if is_same(member.name, one.name)), None)
        if same is not None:
            found.append(Named(same.person, same.name, same.role, same.since))
            continue
        role = MEMBER if one.role is not None and left > 0 else None
        left -= role is not None
        found.append(Named(secrets.token_urlsafe(9), one.name, role, one.since))
    return found


def _plan_row(one: PlannedRow, keys: Mapping[str, str]) -> PlannedRow:
    row = one.row
    if row.what == TAKEN and row.value:
        try:
            person = keys[json.loads(row.value)["person"]]
        except UNREADABLE:
            row = replace(row, value="")
        else:
            row = replace(row, value=json.dumps({"person": person}))
    return one._replace(row=row, by=keys.get(one.by, ""))


def _version(
    context: Context, home: Household | None, version: CourseVersion, content: str
) -> tuple[CourseVersion, str]:
    """A version of the course under a name that only its own content has.

    What was read of a version is remembered by its digest for all households, and a file may say any.
    """
    known = [usual(context), None if home is None else present(context, home)]
    for course in known:
        if course is not None and course.digest == version.digest:
            return version, course_json(course)
    digest = sha256(f"brought {content}".encode()).hexdigest()
    return CourseVersion(version.since, digest), course_json(_called(content, digest))


def _called(content: str, digest: str) -> Course:
    return replace(course_from_json(content), digest=digest)
