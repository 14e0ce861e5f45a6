"""A house at home with two paired phones, and what somebody in its network tries at its door."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

from coach.household.devices import hashed, new_secret
from web.at_home import NETWORK, HomeHouse

if TYPE_CHECKING:
    from pathlib import Path

    from httpx2 import Response
    from starlette.testclient import TestClient

    from coach.ground.people import Scope

COOKIE = "steading"
SECURE = "__Host-steading"


class Attacked(HomeHouse):
    """A house whose keeper is Ana, and where Ben lives too.

    Attributes:
        ana: Her phone.
        ben: His.
    """

    def __init__(self, folder: Path, **settings: Any) -> None:  # noqa: ANN401  as Settings takes them
        super().__init__(folder, **settings)
        self.start()
        self.ana = self.paired("Ana")
        self.ben = self.paired("Ben", 8)

    def bare(self, number: int = 9, base: str = NETWORK) -> TestClient:
        """A phone that was not let in; a test puts what it shows into the header."""
        return self.phone(number, base)

    def forget_guesses(self) -> None:
        """Let the door forget wrong codes and codes."""
        with self.app.state.context.store.people_writing() as writing:
            writing.drop_codes("home")
            writing.drop_tallies(self.now.replace(year=2100))


def secret_of(phone: TestClient) -> str:
    """What a phone shows to be let in."""
    return next(str(one.value) for one in phone.cookies.jar if one.name in {COOKIE, SECURE})


def token_of(house: HomeHouse, phone: TestClient, scope: Scope) -> str:
    """A token of the person whose phone that is, which may do so much."""
    store, (secret, kept) = house.app.state.context.store, new_secret()
    session = store.shown(hashed(secret_of(phone))).session
    with store.people_writing() as writing:
        writing.add_session(kept, replace(session, id=f"token-{kept[:9]}", kind="program", scope=scope))
    return secret


def cookie(*values: str, name: str = COOKIE) -> dict[str, str]:
    """The header of cookies with these values."""
    return {"cookie": "; ".join(f"{name}={value}" for value in values)}


def is_unpaired(answer: Response) -> bool:
    """Whether somebody was turned away as one who was not let in, and saw nothing."""
    return answer.status_code == 401 and "bed-made" not in answer.text
