"""What a household lets its coach see: nothing, inside sums, or by name; chosen by a keeper, for a time."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from coach.coaching.groups import coach_day
from coach.coaching.households import view_of
from coach.coaching.rules.following import saved_through, sunday_before
from coach.coaching.sharing_answers import Choice, Counted, CountedStep, SharedWith, Sharing
from coach.coaching.titles import catalogue_titles, step_titles
from coach.course.shapes import UNREADABLE
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.course_names import one_version
from coach.ground.groups import BY_NAME, COUNTED, NOTHING
from coach.ground.past import past_before
from coach.ground.plan_rows import Asked, PlanRow
from coach.ground.situation import looking, started_home, today_of
from coach.ground.spells import SeenHousehold
from coach.ground.writing import refuse_repeated
from coach.household.leaving import course_alone, let_go, unsign
from coach.progress.days import ONE_DAY, iso_date

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from coach.coaching.rules.following import Saved
    from coach.coaching.sharing_answers import Asking
    from coach.ground.groups import Enrolment, Group, Level
    from coach.ground.ports import Context, Reading, Writing
    from coach.ground.situation import Situation

LASTS = timedelta(days=183)
"""How long a choice holds if no other date is named, and at most: half a year."""

ASKED_BEFORE = timedelta(days=14)
"""So long before it ends it is asked again."""

SHARING = "sharing"
"""The kind of the plan that says what was chosen, with the instant as its key."""

LEVELS: tuple[Level, ...] = (NOTHING, COUNTED, BY_NAME)

IN_NO_GROUP = "This household is in no group, so there is nobody to share anything with."
NO_LEVEL = "Choose nothing, counted or by name."


def sharing(context: Context, household: str) -> Sharing:
    """What is shared, and what each level would show of this very household.

    Raises:
        NotStarted: The household has not chosen its first step.
    """
    with looking(context, household) as where:
        enrolment = where.reading.enrolment()
        saved, names = _saved(where), _names(where.reading)
        history = _history(where.reading, names)
    if enrolment is None or not enrolment.group:
        return _alone(context, enrolment, history)
    with context.store.coaching_reading() as reading:
        group = reading.group(enrolment.group)
        titles = {} if group is None else step_titles(context, reading, group)
        asked = [one for one in reading.questions(enrolment.group, household) if one.with_name]
    if group is None:
        return _alone(context, enrolment, history)
    day, spells = coach_day(context), () if saved is None else saved.spells
    seen = SeenHousehold(enrolment, None if saved is None else saved.followed)
    return Sharing(
        group=_with(context, enrolment, group),
        name=enrolment.name,
        level=enrolment.level,
        until=enrolment.level_until,
        in_force=enrolment.seen_on(day),
        asking=asking_on(enrolment, day),
        usual_until=day + LASTS,
        counted=None if saved is None else _counted(saved, titles),
        by_name=view_of(seen, spells, titles, asked, catalogue_titles(context)),
        history=history,
    )


def _alone(context: Context, enrolment: Enrolment | None, history: tuple[Choice, ...]) -> Sharing:
    name = "" if enrolment is None else enrolment.name
    until = coach_day(context) + LASTS
    return Sharing(None, name, NOTHING, None, NOTHING, "", until, None, None, history)


def _with(context: Context, enrolment: Enrolment, group: Group) -> SharedWith:
    with context.store.reading(enrolment.household) as reading:
        coach = reading.names_of({group.coach}).get(group.coach, "")
    return SharedWith(group.name, coach, _title(context, group), enrolment.joined_at.date())


def _title(context: Context, group: Group) -> str:
    """What the group's course is called; where nothing is left of it, its name."""
    with context.store.coaching_reading() as reading:
        own = (one.title for one in reading.kept_courses(group.coach) if one.course == group.course)
        title = next(own, "")
    try:
        return title or context.library.course(group.course).title
    except Unknown:
        return group.course


def asking_on(enrolment: Enrolment, day: date) -> Asking:
    """Whether what was chosen has ended by a date, or ends soon."""
    if enrolment.level_until is None or not enrolment.group:
        return ""
    if day > enrolment.level_until:
        return "over"
    return "soon" if enrolment.level_until - day < ASKED_BEFORE else ""


def asked_again(context: Context, household: str) -> Asking | None:
    """Whether the household is asked once more what it shares; None outside a group."""
    home = context.store.version(household)
    if home is None or not home.group:
        return None
    with context.store.reading(household) as reading:
        enrolment = reading.enrolment()
    return None if enrolment is None else asking_on(enrolment, coach_day(context))


def _saved(where: Situation) -> Saved | None:
    """What would be saved of its days for the coach, worked out from all of them."""
    past = past_before(where.context, where.home, where.reading, where.versions, where.state.started)
    return saved_through(past.book, where.today - ONE_DAY)


def _counted(saved: Saved, titles: Mapping[str, str]) -> Counted:
    followed = saved.followed
    return Counted(
        as_of=sunday_before(followed.through),
        steps=tuple(
            CountedStep(one.step, titles[one.step], one.sunday_days, one.sunday_ending)
            for one in saved.spells
            if one.sunday_days and one.step in titles
        ),
        week_of=followed.started_on - timedelta(days=followed.started_on.weekday()),
        weeks=followed.weeks,
    )


def choose(context: Context, household: str, level: str, until: date | None = None) -> Sharing:
    """Let the coach see so much until a date; the coach is not told of it.

    Where it is less than before, the household's name goes from what it asked so far too.

    Args:
        context: Store, clock, and who asks.
        household: Its key.
        level: `nothing`, `counted` or `by name`.
        until: The last date on which it holds; half a year from now if none is named.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: It is in no group.
        Malformed: There is no such level, or the date lies in the past or too far ahead.
    """
    chosen = _level(level)
    day = coach_day(context)
    last = None if chosen == NOTHING else _until(until, day)
    with context.store.reading(household) as reading:
        before = reading.enrolment()
    if before is not None and LEVELS.index(chosen) < LEVELS.index(before.level):
        unsign(context, before)
    with context.store.writing(household) as writing:
        refuse_repeated(context, writing, "This was chosen already.")
        started_home(writing.household())
        enrolment = _in_a_group(writing)
        if (enrolment.level, enrolment.level_until) != (chosen, last):
            now = context.clock()
            writing.put_enrolment(replace(enrolment, level=chosen, level_at=now, level_until=last))
            _note(context, writing, {"level": chosen, "until": last and last.isoformat()}, enrolment.group)
            if chosen == NOTHING:
                # Whatever is saved of its days is for the coach's eyes alone.
                writing.drop_followed()
    return sharing(context, household)


def leave_group(context: Context, household: str) -> Sharing:
    """Let a household go out of its group and live on here; what it asked stays there without it.

    Raises:
        NotStarted: The household has not chosen its first step.
        NotEditable: It is in no group.
    """
    with context.store.reading(household) as reading:
        home, enrolment = started_home(reading.household()), _in_a_group(reading)
    with context.store.coaching_reading() as coaching:
        shipped, kept = course_alone(coaching, home.course, today_of(context, home))
    # The version it follows goes on, and no later one of the coach's.
    course = shipped if kept is None else one_version(kept.digest)
    let_go(context, enrolment)
    with context.store.writing(household) as writing:
        refuse_repeated(context, writing, "This household has left its group already.")
        gone = replace(enrolment, group="", level=NOTHING, level_at=context.clock(), level_until=None)
        writing.put_enrolment(gone)
        if course != home.course:
            writing.follow(course)
        writing.drop_followed()
        _note(context, writing, {"level": "", "until": None}, enrolment.group)
    return sharing(context, household)


def _in_a_group(reading: Reading) -> Enrolment:
    enrolment = reading.enrolment()
    if enrolment is None or not enrolment.group:
        raise NotEditable(IN_NO_GROUP)
    return enrolment


def _note(context: Context, writing: Writing, said: dict[str, Any], group: str) -> None:
    """Write down what was chosen, by whom and when; it stays with the household."""
    home = writing.household()
    if home is None:
        return
    now = context.clock()
    value = json.dumps({**said, "by": context.by, "group": group}, separators=(",", ":"))
    row = PlanRow(today_of(context, home), SHARING, now.isoformat(), value)
    writing.put_plan([row], now, context.request_id, context.by)


def _level(level: str) -> Level:
    found = next((one for one in LEVELS if one == level), None)
    if found is None:
        raise Malformed(NO_LEVEL)
    return found


def _until(until: date | None, day: date) -> date:
    """The last date on which a choice holds.

    Raises:
        Malformed: It lies in the past, or more than half a year ahead.
    """
    longest = day + LASTS
    if until is None:
        return longest
    if not day <= until <= longest:
        raise Malformed(
            f"Choose a date from {day.isoformat()} to {longest.isoformat()}: half a year at most."
        )
    return until


def _names(reading: Reading) -> Mapping[str, str]:
    return {one.person: one.name for one in reading.members()}


def _history(reading: Reading, names: Mapping[str, str]) -> tuple[Choice, ...]:
    """What was chosen so far, the latest first; what cannot be read is left out."""
    [held] = reading.plans([Asked(SHARING)])
    found = (_choice(key, value, names) for key, value in held)
    return tuple(sorted((one for one in found if one), key=lambda one: one.at, reverse=True))


def _choice(key: str, value: str, names: Mapping[str, str]) -> Choice | None:
    try:
        said, at = json.loads(value), datetime.fromisoformat(key)
        until = said["until"] and iso_date(said["until"])
        at.astimezone()
        by, level = str(said["by"]), str(said["level"])
        return Choice(level, until or None, at, names.get(by, ""))
    except (Malformed, *UNREADABLE):
        return None
