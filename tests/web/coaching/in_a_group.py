"""A house whose household comes into a coach's group."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.coaching.groups import Wanted, new_group
from coach.ground.groups import Enrolment
from coach.ground.people import Caller

if TYPE_CHECKING:
    from web.house import House


def join(house: House, group: str = "Spring") -> str:
    """Let the household of a house come into a group of Ana's, and give the group's id."""
    context = house.app.state.context
    with context.store.people_writing() as writing:
        writing.add_person("ana", "Ana", house.now)
    with context.store.coaching_writing() as writing:
        writing.put_coach("ana", house.now)
    caller = Caller("", person="ana", coaches=True)
    made = new_group(context, caller, Wanted(group, "three-weeks", house.today)).group
    with context.store.writing("home") as writing:
        writing.put_enrolment(Enrolment("home", "Tern Street", made, house.now, "nothing", house.now, None))
    return made
