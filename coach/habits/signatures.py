"""Who marked which line of a day, and who takes one, in the names that a household of several goes by."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from coach.course.shapes import shape
from coach.errors import Malformed, Newer
from coach.ground.plan_rows import dated_keys
from coach.habits.answers import Clash, MarkedBy, TakenBy
from coach.habits.wording import newer_text
from coach.progress.days import place_of

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.ground.rows import Signed
    from coach.ground.situation import Situation

TAKEN = "taken"
"""The kind of the plan that holds who takes a line of a date."""
SEVERAL = 2
"""From so many members on a household is asked, and told, who did something."""
_PERSON = shape({"person": str})


def is_several(where: Situation) -> bool:
    """Whether two or more live in the household."""
    return where.home.members >= SEVERAL


def last_rows(where: Situation) -> Mapping[str, Signed]:
    """By step the last row of the situation's date that marks it or takes its mark back.

    What was written of a step under an id that it had before is its row too.
    """
    on = where.opening.date
    return {where.state.present(one.step): one for one in where.reading.signed(on, on)}


def names_in(where: Situation) -> Mapping[str, str]:
    """What the members are called, by their keys, in the order in which they joined."""
    return {member.person: member.name for member in where.reading.members()}


def marked_by(where: Situation, last: Signed, names: Mapping[str, str]) -> MarkedBy | None:
    """Who made a row; None for one of an import, of which nobody said."""
    if last.version is None and not last.by:
        return None
    at = last.at.astimezone(place_of(where.home.zone))
    return MarkedBy(last.by, names.get(last.by, ""), at)


def newer(where: Situation, last: Signed, shown: object) -> Newer:
    """That another one's newer row was left as it is, with what is shown of the day as it stands."""
    step, at = where.state.present(last.step), last.at.astimezone(place_of(where.home.zone))
    stands = where.opening.marks.get(step)
    name = where.reading.names_of({last.by}).get(last.by, "")
    clash = Clash(step, stands.value if stands else None, last.by, name, at)
    return Newer(newer_text(clash, title_of(where, step)), {"shown": shown, "clash": clash})


def title_of(where: Situation, step: str) -> str:
    """What a step is called; its id where it has not come yet."""
    place = where.standing.place(step)
    return place.step.title if place else step


class Signatures:
    """Who marked the lines of a situation's date and who takes them; nothing where fewer than two live.

    Args:
        where: The situation.
    """

    def __init__(self, where: Situation) -> None:
        self._where = where
        self._last: Mapping[str, Signed] = {}
        self._names: Mapping[str, str] = {}
        self._taken: Mapping[str, str] = {}
        self._gone: Mapping[str, str] = {}
        if is_several(where):
            self._last, self._names = last_rows(where), names_in(where)
            gone = {one.by for one in self._last.values()} - self._names.keys() - {""}
            self._gone = where.reading.names_of(gone) if gone else {}
            self._taken = taken_in(where) if where.opening.date == where.today else {}

    def of(self, step: str) -> MarkedBy | None:
        """Who made the mark of a step."""
        if step not in self._where.opening.marks or step not in self._last:
            return None
        return marked_by(self._where, self._last[step], {**self._gone, **self._names})

    def taker(self, step: str) -> TakenBy | None:
        """Who takes a line that is not marked yet; one who has left takes none."""
        person = self._taken.get(step, "")
        if step in self._where.opening.marks or person not in self._names:
            return None
        return TakenBy(person, self._names[person])


def taken_in(where: Situation) -> Mapping[str, str]:
    """By step the person who takes its line on the situation's date."""
    on = where.opening.date
    found = where.plan.read(TAKEN, _person, *dated_keys(on, on))
    return {where.state.present(key.partition("/")[2]): person for key, person in found.items()}


def _person(_key: str, value: Any) -> str:  # noqa: ANN401  as it comes out of JSON
    if not _PERSON(value):
        raise Malformed("A person was expected.")
    person: str = value["person"]
    return person
