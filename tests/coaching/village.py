"""A coach with a group of households, in memory."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from coach.coaching.answering import Answering
from coach.coaching.groups import Wanted, new_group
from coach.coaching.questions import Asking, ask
from coach.ground.groups import BY_NAME, Enrolment
from coach.ground.people import Caller
from coach.ground.spells import Followed, Spell
from habits.house import HOME, House
from progress.living import on

if TYPE_CHECKING:
    from coach.coaching.answers import OwnQuestions
    from coach.ground.groups import Level

ANA, BEN = "ana", "ben"


def coach(person: str = ANA) -> Caller:
    """A coach, let in as one."""
    return Caller("", person=person, coaches=True)


class Village(House):
    """A house in memory, with the coaches Ana and Ben, and a group of Ana's.

    Attributes:
        group: That group's id.
    """

    def __init__(self, **values: Any) -> None:  # noqa: ANN401  as House takes them
        super().__init__(**values)
        with self.store.coaching_writing() as writing:
            for person in (ANA, BEN):
                writing.put_coach(person, self.now)
        self.group = new_group(self.context, coach(), Wanted("Spring", "three-weeks", on(1))).group

    def joins(
        self,
        household: str = HOME,
        name: str = "Tern Street",
        level: Level = "nothing",
        until: date | None = None,
    ) -> Village:
        """A household comes into the group, or shares otherwise from now on."""
        end = until or (on(1) + timedelta(days=180) if level != "nothing" else None)
        with self.store.writing(household) as writing:
            writing.put_enrolment(Enrolment(household, name, self.group, self.now, level, self.now, end))
        return self

    def shares(self, household: str, name: str, *spells: Spell, **known: object) -> None:
        """A household that shares by name, and what is saved of its days."""
        self.joins(household, name, BY_NAME)
        values: dict[str, Any] = {
            "through": on(12), "started_on": on(1), "phase": "ramping",
            "last_mark": on(12), "due_since": 0, "weeks": (),
        }  # fmt: skip
        with self.store.writing(household) as writing:
            writing.save_followed(Followed(**(values | known)), spells)

    def asks(self, text: str, household: str = HOME, **about: Any) -> OwnQuestions:  # noqa: ANN401  as Asking's
        """A household asks under the first lesson of its first step, a second after what was before."""
        self.now += timedelta(seconds=1)
        values: dict[str, Any] = {"step": "bed", "lesson": 1} | about
        return ask(self.context, household, Asking(text, **values))


def spell(step: str, day: int, state: str = "practising", outcomes: int = 3) -> Spell:
    """A step's spell that began on a day."""
    settled = on(day + 4) if state == "settled" else None
    ending: Any = {"settled": "settled", "set-aside": "set aside"}.get(state, "open")
    return Spell(step, "d", on(day), 5, ending, settled, state, settled, outcomes, 5, ending)


def answering(
    *questions: str, text: str = "Leave it.", for_all: bool = False, question: str = ""
) -> Answering:
    """An answer to some questions."""
    return Answering(questions, text, for_all, question)
