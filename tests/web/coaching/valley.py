"""A house in which a coach and a household in her group ask for pages."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Any
from unittest.mock import patch

from coach.coaching.groups import Wanted, new_group
from coach.ground.coaching import Enrolment
from coach.ground.people import KEEPER, Caller
from coach.web import door
from web.house import House
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date
    from pathlib import Path

    from coach.ground.coaching import Level
    from web.markup import Element

ANA = Caller("", person="ana", coaches=True)
BEN = Caller("", person="ben", coaches=True)
HOUSEHOLD = Caller("home", KEEPER)


class Valley(House):
    """A house with the coaches Ana and Ben, a group of Ana's, and the household in it.

    Attributes:
        group: The group's id.
        place: Where its pages are.
    """

    def __init__(self, folder: Path, **settings: Any) -> None:  # noqa: ANN401  as Settings takes them
        super().__init__(folder, **settings)
        context = self.app.state.context
        with context.store.coaching_writing() as writing:
            for coach in (ANA, BEN):
                writing.put_coach(coach.person, self.now)
        self.group = new_group(context, ANA, Wanted("Spring", "three-weeks", self.today)).group
        self.place = f"/groups/{self.group}"

    def joins(self, level: Level = "nothing", until: date | None = None) -> None:
        """The household comes into the group."""
        with self.app.state.context.store.writing("home") as writing:
            writing.put_enrolment(
                Enrolment("home", "Tern Street", self.group, self.now, level, self.now, until)
            )

    @contextmanager
    def asked_by(self, caller: Caller) -> Iterator[None]:
        """Whoever asks is let in as this one."""
        with patch.object(door, "ALONE", caller):
            yield

    def page(self, path: str, caller: Caller = HOUSEHOLD) -> Element:
        """A page as it is read."""
        with self.asked_by(caller):
            answer = self.http.get(path)
        assert answer.status_code == 200, answer.text
        return read(answer.text)

    def send(self, path: str, caller: Caller = HOUSEHOLD, **form: Any) -> str:  # noqa: ANN401  fields
        """Send a form, and say where it leads."""
        with self.asked_by(caller):
            answer = self.http.post(path, data=form)
        assert answer.status_code == 303, answer.text
        return str(answer.headers["location"])
