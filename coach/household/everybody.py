"""Everybody a service of many households knows: for whoever runs it, on its own machine."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass

from coach.errors import Unknown
from coach.ground.people import SignIn
from coach.ground.ports import Context
from coach.household.codes import MOST_SIGN_INS
from coach.household.devices import holds
from coach.household.homes import name_of
from coach.household.people_answers import Home

NOBODY = "There is nobody of that key. `coach people` lists everybody with theirs."


@dataclass(frozen=True, slots=True)
class LetIn:
    """A device or a program of somebody.

    Attributes:
        name: What it is called.
        kind: `browser` or `program`.
        as_coach: Whether it opens groups.
        last_seen: When it was last seen, to the hour.
        ends_at: When it ends whatever happens.
    """

    name: str
    kind: str
    as_coach: bool
    last_seen: dt.datetime
    ends_at: dt.datetime


@dataclass(frozen=True, slots=True)
class Whoever:
    """Somebody, with what is theirs.

    Attributes:
        person: Their key.
        name: What they are called.
        since: When they were written down.
        coaches: Whether they may coach groups.
        homes: Their households.
        groups: The names of the groups they coach.
        devices: What is let in for them, those seen last first.
    """

    person: str
    name: str
    since: dt.datetime
    coaches: bool
    homes: tuple[Home, ...]
    groups: tuple[str, ...]
    devices: tuple[LetIn, ...]

    @property
    def last_seen(self) -> dt.datetime | None:
        """When anything of theirs was last seen."""
        return max((one.last_seen for one in self.devices), default=None)


@dataclass(frozen=True, slots=True)
class Everybody:
    """Everybody, in the order in which they were written down."""

    people: tuple[Whoever, ...]


def everybody(context: Context) -> Everybody:
    """Everybody there is, with their households, groups and devices."""
    now = context.clock()
    with context.store.people_reading() as reading:
        found = [
            (
                one,
                reading.homes_of(one.person),
                tuple(
                    LetIn(each.name, each.kind, each.as_coach, each.seen_at, each.ends_at)
                    for each in reading.sessions_of(one.person)
                    if holds(each, now)
                ),
            )
            for one in reading.everybody()
        ]
    return Everybody(
        tuple(
            Whoever(
                one.person,
                one.name,
                one.since,
                one.is_coach,
                tuple(
                    Home(each.household, name_of(context, each.household), each.role, chosen=False)
                    for each in homes
                ),
                _groups(context, one.person) if one.is_coach else (),
                devices,
            )
            for one, homes, devices in found
        )
    )


def _groups(context: Context, person: str) -> tuple[str, ...]:
    with context.store.coaching_reading() as reading:
        return tuple(one.name for one in reading.groups(person))


def end_sessions(context: Context, person: str) -> int:
    """End everything that is let in for somebody, and say how much that was.

    Raises:
        Unknown: There is nobody of that key.
    """
    with context.store.people_writing() as writing:
        if person not in {one.person for one in writing.everybody()}:
            raise Unknown(NOBODY)
        ended = writing.sessions_of(person)
        writing.drop_sessions_of(person)
        for household in dict.fromkeys(one.household for one in ended):
            happened = SignIn(context.clock(), "device", "all ended by whoever runs Steading", person)
            writing.add_sign_in(household, happened, MOST_SIGN_INS)
    return len(ended)
