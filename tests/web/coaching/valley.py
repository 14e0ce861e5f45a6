"""A service of many in which a coach, another one and a household in her group ask for pages."""

from __future__ import annotations

from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from coach.ground.groups import Enrolment
from web.many import ManyHouse
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from datetime import date
    from pathlib import Path

    from coach.ground.groups import Level
    from web.markup import Element

ANA, BEN = "ana", "ben"
HOUSEHOLD = "home"


class Valley(ManyHouse):
    """The coaches Ana and Ben, a group of Ana's, and a household, which is in it where nothing else is said.

    Attributes:
        http: The phone of the household's keeper, or whoever else asks meanwhile.
        group: The group's id.
        place: Where its pages are.
    """

    def __init__(self, folder: Path, *, in_group: bool = True, **settings: Any) -> None:  # noqa: ANN401  as Settings takes them
        super().__init__(folder, **settings)
        self._askers = {
            ANA: self.signed_in(self.person("Ana", coaches=True)),
            BEN: self.signed_in(self.person("Ben", coaches=True)),
        }
        self.group_made = self.group(ANA, "spring")
        self.place = f"/groups/{self.group_made.id}"
        self.http = self.household("Olga", HOUSEHOLD, self.group_made.id if in_group else "", "Tern Street")
        self._askers[HOUSEHOLD] = self.http

    def joins(self, level: Level = "nothing", until: date | None = None) -> None:
        """The household shares so from now on."""
        with self.store.writing(HOUSEHOLD) as writing:
            writing.put_enrolment(
                Enrolment(HOUSEHOLD, "Tern Street", self.group_made.id, self.now, level, self.now, until)
            )

    def asker(self, caller: str) -> Any:  # noqa: ANN401  a client
        """The browser of one of them."""
        return self._askers[caller]

    def furnish(self) -> None:
        """Let there be something to look at: questions, alike and not, an answer, a note, an invitation."""
        with self.asked_by(ANA):
            note = {"on": str(self.today), "text": "Open the windows."}
            assert self.http.post(f"{self.place}/notes", data=note).status_code == 303
            assert self.http.post(f"{self.place}/invitation", data={"uses": "3"}).status_code == 200
        for text in ("May one air the bunk bed?", "Air the bunk bed, may one?", "Where do cups go?", "Why?"):
            asked = {"text": text, "step": "bed-made", "lesson": "1", "request_id": text}
            assert self.http.post("/questions", data=asked).status_code == 303
        with self.asked_by(ANA):
            waiting = self.http.get(f"/api{self.place}/questions").json()["waiting"][0]["piles"]
            body = {"questions": [waiting[-1]["questions"][0]["question"]], "text": "So."}
            assert self.http.post(f"/api{self.place}/answers", json=body).status_code == 201

    @contextmanager
    def asked_by(self, caller: str) -> Iterator[None]:
        """Whoever asks is this one."""
        self.http = self._askers[caller]
        try:
            yield
        finally:
            self.http = self._askers[HOUSEHOLD]

    def page(self, path: str, caller: str = HOUSEHOLD) -> Element:
        """A page as it is read."""
        with self.asked_by(caller):
            answer = self.http.get(path)
        assert answer.status_code == 200, answer.text
        return read(answer.text)

    def send(self, path: str, caller: str = HOUSEHOLD, **form: Any) -> str:  # noqa: ANN401  fields
        """Send a form, and say where it leads."""
        with self.asked_by(caller):
            answer = self.http.post(path, data=form)
        assert answer.status_code == 303, answer.text
        return str(answer.headers["location"])
