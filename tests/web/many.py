"""A service of many households under a public address, with whoever asks it."""

from __future__ import annotations

from base64 import urlsafe_b64encode
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, Any

from coach.ground.groups import NOTHING, Enrolment, Group
from coach.ground.passkeys import Passkey
from coach.household.devices import new_secret, new_session, signed_in
from web.asking import client_of
from web.house import House

if TYPE_CHECKING:
    from pathlib import Path

    from starlette.testclient import TestClient

    from coach.ground.people import Role, Session

PUBLIC = "https://steading.example"
COOKIE = "__Host-steading"
PROXY = ("127.0.0.1", 50000)


class ManyHouse(House):
    """Many households in one database.

    Attributes:
        http: A browser that nobody let in.
    """

    def __init__(self, folder: Path, **settings: Any) -> None:  # noqa: ANN401  as Settings takes them
        super().__init__(folder, **{"way": "hosted", "public_url": PUBLIC, **settings})
        self.http = self.browser()

    @property
    def store(self) -> Any:  # noqa: ANN401  a store of any kind
        """Where everything is."""
        return self.app.state.context.store

    def browser(self, address: str = "198.51.100.7", base: str = PUBLIC) -> TestClient:
        """A browser somewhere, which asks by way of the proxy and says where its changes come from."""
        headers = {"origin": base, "x-forwarded-for": address}
        return client_of(self.app, base_url=base, client=PROXY, headers=headers)

    def let_in(self, session: Session, address: str = "198.51.100.7") -> TestClient:
        """A browser that shows a session."""
        secret, kept = new_secret()
        with self.store.people_writing() as people:
            people.add_session(kept, session)
        client = self.browser(address)
        client.headers["cookie"] = f"{COOKIE}={secret}"
        return client

    def person(self, name: str, *, coaches: bool = False) -> str:
        """Somebody new, by a key that is their name in small letters."""
        key = name.lower()
        with self.store.people_writing() as people:
            people.add_person(key, name, self.now)
            if coaches:
                people.put_coach(key, self.now)
                people.add_passkey(Passkey(credential(key), key, "", 0, "laptop", self.now, self.now))
        return key

    def moved_in(self, person: str, household: str, role: Role = "keeper") -> TestClient:
        """Somebody's paired phone, once they belong to a household."""
        with self.store.people_writing() as people:
            people.put_member(household, person, role, self.now)
        return self.let_in(new_session(household, person, "phone", self.now))

    def signed_in(self, person: str) -> TestClient:
        """A browser in which somebody signed in for themselves."""
        with self.store.people_writing() as people:
            session = signed_in(people, person, "laptop", self.now)
        return self.let_in(session)

    def household(self, keeper: str, household: str, group: str = "", name: str = "") -> TestClient:
        """A household that has begun, and its keeper's phone."""
        client = self.moved_in(self.person(keeper), household)
        begun = client.post("/api/start", json={"first": "bed-made", "zone": "UTC"})
        assert begun.status_code == 201, begun.text
        with self.store.writing(household) as writing:
            called = name or f"The {household} house"
            writing.put_enrolment(Enrolment(household, called, group, self.now, NOTHING, self.now, None))
        return client

    def group(self, coach: str, group: str, first_day: date | None = None) -> Group:
        """A group of a coach."""
        made = Group(
            group, coach, f"Group {group}", "three-weeks", first_day or self.today, "en-GB", self.now
        )
        with self.store.coaching_writing() as writing:
            writing.put_group(made)
        return made

    def at(self, now: datetime) -> None:
        """Let it be another instant."""
        self.now = now.astimezone(UTC)


def credential(person: str) -> str:
    """The id of somebody's passkey, written as a browser writes it."""
    return urlsafe_b64encode(f"key of {person}".encode()).decode().rstrip("=")
