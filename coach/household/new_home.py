"""A new household where many are hosted: begun by somebody who was invited, who becomes its keeper."""

from __future__ import annotations

import secrets
from contextlib import suppress
from dataclasses import asdict, replace
from typing import TYPE_CHECKING, NamedTuple

from coach.errors import Malformed, NotAllowed, StoreError, WrongCode
from coach.ground.course_names import group_course
from coach.ground.groups import NOTHING, Enrolment
from coach.ground.people import KEEPER, SignIn
from coach.household.answers import Paired
from coach.household.codes import MOST_SIGN_INS, kind_of, named_by, typed
from coach.household.devices import named_id, new_session, secret_of
from coach.household.names import tidy_name
from coach.household.pairing import (
    DEVICE,
    WRONG,
    end_former,
    kept_hash,
    known_person,
    let_in_before,
    usable,
    use_up,
)
from coach.household.start import begin, chosen
from coach.household.tries import count_wrong

if TYPE_CHECKING:
    from coach.ground.groups import Group
    from coach.ground.people import Caller, Code, PeopleReading, PeopleWriting
    from coach.ground.ports import Context
    from coach.household.pairing import Pairing
    from coach.household.start import Beginning, Chosen

NO_NAME = "Say what your household is called: whatever you call it at home."
FULL = (
    "There is no room for another household here: {most} share one file, which is as many as it serves well. "
    "Whoever runs this Steading moves it to PostgreSQL, which takes as many as come."
)
OTHERWISE = "This code is for somebody who belongs here already. Open the page /pair with it."


class Invited(NamedTuple):
    """An invitation that holds, and the group it leads into; None: none."""

    code: Code
    group: Group | None


def course_of(context: Context, group: Group | None) -> str:
    """The course that a new household follows: its group's, or the service's own."""
    return group_course(group.id) if group is not None else context.course


def invited(context: Context, caller: Caller, code: str) -> Invited:
    """What a code for a new household leads into; it is not used up.

    Raises:
        WrongCode: It is wrong, used, over, its group is gone, or too many wrong ones were tried.
        TooOften: Too many wrong codes were tried.
        Malformed: It is a code of another kind.
        NotAllowed: There are as many households as there may be.
    """
    letters = typed(code)
    return _invited(context, caller, letters, kept_hash(context, caller, letters, context.clock()))


def enrol(context: Context, caller: Caller, wanted: Pairing, household: str, beginning: Beginning) -> Paired:
    """Begin a household by an invitation, with the one who was invited as its keeper.

    Args:
        context: Store, lessons and clock.
        caller: Who asks. A browser that was let in before is let in anew, and what it showed so far ends.
        wanted: Who they are, and the code.
        household: What the household is called.
        beginning: The answers it begins with.

    Raises:
        WrongCode: The code is wrong, used, over, its group is gone, or too many wrong ones were tried.
        TooOften: Too many wrong codes were tried.
        NotAllowed: There are as many households as there may be.
        Malformed: A name is missing or an answer cannot be read; the code can still be used then.
        Unknown: There is no such step.
        AskedOtherwise: The code has let in another request of that name.
    """
    now, letters = context.clock(), typed(wanted.code)
    secret, shown = secret_of(letters, wanted.once)
    again = let_in_before(context, wanted, secret, now) if wanted.once else None
    if again is not None:
        return again
    kept = kept_hash(context, caller, letters, now)
    code, group = _invited(context, caller, letters, kept)
    called = tidy_name(household, "A household's name") or code.name
    if not called:
        raise Malformed(NO_NAME)
    theirs = replace(context, course=course_of(context, group), request_id=None)
    home = secrets.token_urlsafe(9)
    answers = chosen(theirs, home, **asdict(beginning))
    _write(theirs, answers, group, called)
    try:
        with context.store.people_writing() as writing:
            paired = _move_in(context, writing, caller, kept, wanted, home)
            if wanted.once and wanted.asked:
                paired = replace(paired, session=replace(paired.session, id=named_id(secret, wanted.asked)))
            writing.add_session(shown, paired.session)
    except Exception:
        # Nobody belongs to it, and nobody ever will.
        with suppress(StoreError), context.store.writing(home) as empty:
            empty.clear()
        raise
    return replace(paired, secret=secret)


def _invited(context: Context, caller: Caller, letters: str, kept: str) -> Invited:
    now = context.clock()
    with context.store.people_writing() as writing:
        code = usable(writing, caller, kept, now)
        if code is None:
            count_wrong(writing, caller, kind_of(letters), now, named_by(context, letters))
        else:
            _refuse_others(context, writing, code)
    group = _group_of(context, code) if code is not None else None
    if code is None or (code.group and group is None):
        raise WrongCode(WRONG)
    return Invited(code, group)


def _refuse_others(context: Context, reading: PeopleReading, code: Code) -> None:
    """Refuse a code of another kind, and a household for which there is no room."""
    if code.kind != "household":
        raise Malformed(OTHERWISE)
    most = context.most_homes
    if most is not None and reading.count_homes() >= most:
        raise NotAllowed(FULL.format(most=most))


def _group_of(context: Context, code: Code) -> Group | None:
    """The group that a code leads into, while the one who made the code coaches it."""
    if not code.group:
        return None
    with context.store.coaching_reading() as reading:
        found = reading.group(code.group)
    return found if found is not None and found.coach == code.made_by else None


def _write(context: Context, answers: Chosen, group: Group | None, called: str) -> None:
    """The household's own rows, before anybody belongs to it."""
    now = context.clock()
    with context.store.writing(answers.home.id) as writing:
        begin(context, writing, answers, group.first_day if group else None)
        joined = group.id if group else ""
        writing.put_enrolment(Enrolment(answers.home.id, called, joined, now, NOTHING, now, None))


def _move_in(
    context: Context, writing: PeopleWriting, caller: Caller, kept: str, wanted: Pairing, home: str
) -> Paired:
    """Let the one who was invited be the household's keeper, and use the code up."""
    now = context.clock()
    code = usable(writing, caller, kept, now)
    if code is None:
        raise WrongCode(WRONG)
    _refuse_others(context, writing, code)
    end_former(writing, caller, wanted)
    person, name = known_person(writing, caller, wanted, "", now)
    writing.put_member(home, person, KEEPER, now)
    use_up(writing, code, kept)
    device = tidy_name(wanted.device, "A device's name") or DEVICE
    session = new_session(home, person, device, now, wanted.kind)
    begun = SignIn(now, code.kind, "household begun", person, device, caller.address)
    writing.add_sign_in(home, begun, MOST_SIGN_INS)
    return Paired(home, person, name, "", session)
