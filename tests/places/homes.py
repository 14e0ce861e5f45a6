"""Households of a group at chosen databases."""

from __future__ import annotations

from contextlib import closing
from typing import TYPE_CHECKING

from coach.ground.groups import Enrolment
from coach.ground.spells import Followed, Spell
from coach.progress.log import Row, What
from coach.store.moving import MOVED
from coach.store.wall import Scope
from places.conftest import opened
from store.tern_street import FIRST, NOW, begin, day, dinner, put, saved

if TYPE_CHECKING:
    from collections.abc import Sequence

    from coach.store.spread import SpreadStore
    from coach.store.wall import Question
    from places.servers import Servers


def live(servers: Servers, place: str, *households: str, group: str = "") -> None:
    """Let households start in a database, each with rows in most tables."""
    with closing(opened(servers, new_homes=(place,))) as store:
        for household in households:
            begin(store, household)
            put(store, dinner(1), request_id="r1", household_id=household)
            with store.writing(household) as writing:
                writing.append([Row(day(1), What.KEPT, "bed-made")], NOW, by=f"{household}-ana")
                writing.save_standings([saved(1)])
                if group:
                    writing.put_enrolment(
                        Enrolment(household, household, group, NOW, "counted", NOW, day(90))
                    )
                    spell = Spell("bed-made", "d1", FIRST, 3, "open", None, "practising", None, 3, 3, "open")
                    writing.save_followed(
                        Followed(day(3), FIRST, "ramping", day(1), 0, ("ramping",)), [spell]
                    )
            with store.people_writing() as people:
                people.add_person(f"{household}-ana", "Ana", NOW)
                people.put_member(household, f"{household}-ana", "keeper", NOW)


def rows_at(store: SpreadStore, household: str) -> dict[str, list[Sequence[object]]]:
    """By database the rows it has of a household, whatever its marks say."""
    found = {}
    for name, place in store.places.items():
        asked: list[Question] = [
            (table.select().where(table.c.household_id == household), {}) for table in MOVED
        ]
        rows = [row for some in place.ask(Scope(household), *asked) for row in some]
        if rows:
            found[name] = rows
    return found
