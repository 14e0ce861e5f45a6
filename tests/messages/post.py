"""A household with reminders, and a post office that writes down what it is given to carry."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, time
from typing import TYPE_CHECKING

from coach.ground.people import MEMBER, Caller
from coach.messages.answers import Outcome
from coach.messages.reminders import Wish, put
from coach.messages.sending import send_due
from habits.house import HOME, SMALL, House

if TYPE_CHECKING:
    from collections.abc import Callable

    from coach.course.model import Course
    from coach.ground.ports import Context
    from coach.ground.sending import Reminder, Way
    from coach.messages.answers import Letter, Round

ALONE = Caller(HOME, "keeper")
ANA = Caller(HOME, "keeper", "a", "Ana")
BEN = Caller(HOME, "member", "b", "Ben")
SENT = Outcome("sent")
SEVEN = time(7)


@dataclass
class PostOffice:
    """A carrier that carries nothing anywhere.

    Attributes:
        answers: What comes of the next letters; after them everything is sent.
        carried: What it was given: to whom, and the letter.
        closed: Why nothing can be sent.
        on_the_way: Called while it carries.
    """

    answers: list[Outcome] = field(default_factory=list)
    carried: list[tuple[str, Letter]] = field(default_factory=list)
    closed: str = ""
    on_the_way: Callable[[], None] = lambda: None

    def why_not(self, way: Way) -> str:
        return self.closed if way == "mail" else ""

    def fault_of(self, way: Way, address: str, key: str = "", auth: str = "") -> str:
        if way == "mail" and "@" not in address:
            return f"“{address}” is no e-mail address."
        return "" if way == "mail" or (key and auth) else "A browser has keys."

    def prepare(self) -> None:
        """It needs nothing."""

    def public_key(self) -> str:
        return "key"

    def carry(self, reminder: Reminder, letter: Letter, now: datetime) -> Outcome:
        assert now.tzinfo is not None
        self.carried.append((reminder.address, letter))
        self.on_the_way()
        return self.answers.pop(0) if self.answers else SENT

    @property
    def bodies(self) -> list[str]:
        return [letter.body for _, letter in self.carried]

    @property
    def titles(self) -> list[str]:
        return [letter.title for _, letter in self.carried]


def asked(
    context: Context, post: PostOffice, caller: Caller = ALONE, at: time = SEVEN, to: str = "ana@example.org"
) -> None:
    """Ask for a message by mail, as a member."""
    if caller.person:
        with context.store.people_writing() as people:
            if caller.person not in {one.person for one in people.members(HOME)}:
                people.add_person(caller.person, caller.name, context.clock())
                people.put_member(HOME, caller.person, MEMBER, context.clock())
    put(context, post, caller, Wish("mail", at, to))


def with_reminder(course: Course = SMALL, at: time = SEVEN) -> tuple[House, PostOffice]:
    """A household that began on day 1 and is told at an hour of its clock, which shows UTC."""
    house, post = House(course).begun(), PostOffice()
    house.at(1, "04:00")
    asked(house.context, post, at=at)
    return house, post


def rung(house: House, post: PostOffice, day: int, hour: str = "07:00") -> Round:
    """What comes of a round at an hour of a day."""
    house.at(day, hour)
    return send_due(house.context, post, house.now)


def lived(house: House, post: PostOffice, first: int, last: int) -> list[int]:
    """The days between two, both included, on which something went out, looked at every hour of them."""
    found = []
    for day in range(first, last + 1):
        before = len(post.carried)
        for hour in range(3, 24):
            rung(house, post, day, f"{hour:02}:00")
        found += [day] * (len(post.carried) - before)
    return found
