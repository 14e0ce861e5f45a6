"""Every route where many households are hosted, asked by all six: who is let in, and who is refused how."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple

import pytest

from coach.ground.groups import NOTHING, Enrolment
from coach.household.devices import new_session
from coach.web.access import is_closed_to_many, is_of_nobodys_home, is_open
from web.access_table import ACCESS, ANYBODY, COACH, KEEPER, MEMBER, OPEN, THEIRS
from web.many import ManyHouse
from web.test_access import LAST, PLACES, SAID
from web.test_every_write import BODIES

if TYPE_CHECKING:
    from collections.abc import Iterator

    from httpx2 import Response
    from starlette.testclient import TestClient

READING = {"GET", "HEAD"}
REFUSED = {401, 403, 404}
AWAY = ("end", "{device}", "sign-out", "forget", "remove")
"""What would take the ground from under those who ask after it."""


class Six(NamedTuple):
    """A service with a household in a group, and everybody there can be."""

    many: ManyHouse
    member: TestClient
    keeper: TestClient
    coach: TestClient
    another: TestClient
    other: TestClient
    nobody: TestClient
    places: dict[str, str]

    def ask(self, who: TestClient, route: str, **headers: str) -> Response:
        """Ask for a route with the parts of its address filled in, as a page or a program would."""
        method, address = route.format_map(self.places).split(" ")
        said = SAID.get(route, BODIES.get(route, {}))
        if method in READING:
            return who.get(address, headers=headers)
        named: dict[str, Any] = {"json": said} if address.startswith("/api") else {"data": said}
        return who.request(method, address, headers=headers, **named)

    def path(self, route: str) -> str:
        """The address of a route."""
        return route.format_map(self.places).split(" ")[1]

    def found(self, who: TestClient, routes: Iterator[str], **headers: str) -> dict[str, int]:
        """What each route answers; a page that leads to the groups is told as not found, which it is."""
        return {route: _status(self.ask(who, route, **headers)) for route in routes}


def _status(answer: Response) -> int:
    return 404 if answer.headers.get("location") == "/groups" else answer.status_code


@pytest.fixture(scope="module")
def six(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Six]:
    many = ManyHouse(tmp_path_factory.mktemp("six"))
    coach = many.signed_in(many.person("Cora", coaches=True))
    another = many.signed_in(many.person("Dora", coaches=True))
    many.group("cora", "g")
    many.group("dora", "h")
    keeper = many.household("Ana", "first", "g")
    other = many.household("Olga", "second", "h")
    member = many.moved_in(many.person("Ben"), "first", "member")
    assert keeper.post("/api/dues", json={"name": "Rent", "on": "2027-01-20"}).status_code == 201
    feed = keeper.post("/api/feeds", json={"name": "phone"}).json()
    token = keeper.post("/api/tokens", json={"name": "wall", "scope": "read"}).json()
    kept = new_session("first", "ana", "hall phone", many.now)
    many.let_in(kept)
    places = PLACES | {
        "feed": feed["feed"]["id"],
        "secret": feed["path"].removeprefix("/calendar/").removesuffix(".ics"),
        "date": str(many.today),
        "due": keeper.get("/api/dues").json()["dues"][0]["id"],
        "device": kept.id,
        "person": "ana",
        "token": token["id"],
    }
    yield Six(many, member, keeper, coach, another, other, many.browser(), places)
    many.close()


def routes(*levels: str, closed: bool | None = False) -> Iterator[str]:
    for route, level in sorted(ACCESS.items()):
        path = route.split(" ")[1]
        if level in levels and (closed is None or is_closed_to_many(path) == closed):
            yield route


OF_HOUSEHOLDS = (MEMBER, THEIRS, KEEPER)


def unlike(found: dict[str, int], *wanted: int) -> dict[str, int]:
    return {route: status for route, status in found.items() if status not in wanted}


def test_nobody_is_refused_everything_that_is_not_open_and_costs_no_statement(
    six: Six, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patched:
        for name in ("reading", "writing", "version", "people_reading", "people_writing", "shown"):
            patched.setattr(six.many.store, name, None)
        every = (route for route in routes(*OF_HOUSEHOLDS, COACH, ANYBODY, closed=None))
        shut = [route for route in every if not is_open(six.path(route))]
        assert unlike(six.found(six.nobody, iter(shut)), 401) == {}


def test_what_is_open_asks_nobody_who_they_are(six: Six) -> None:
    found = six.found(six.nobody, routes(OPEN))
    assert {route: status for route, status in found.items() if status == 401 or status >= 500} == {}


def test_what_is_closed_to_many_is_there_for_nobody(six: Six) -> None:
    for who in (six.keeper, six.member, six.coach, six.other):
        assert unlike(six.found(who, routes(*OF_HOUSEHOLDS, OPEN, closed=True)), 404) == {}


@pytest.mark.parametrize("name", ["coach", "another"])
def test_a_coach_without_a_household_finds_nothing_of_one(six: Six, name: str) -> None:
    who = getattr(six, name)
    theirs = [route for route in routes(*OF_HOUSEHOLDS) if not is_of_nobodys_home(six.path(route))]
    assert unlike(six.found(who, iter(theirs)), 404) == {}


@pytest.mark.parametrize("name", ["coach", "another"])
def test_a_coach_without_a_household_ends_nothing_of_anybody_else(six: Six, name: str) -> None:
    theirs = [route for route in routes(THEIRS) if is_of_nobodys_home(six.path(route))]
    assert unlike(six.found(getattr(six, name), iter(theirs)), 404, 422) == {}
    assert six.keeper.get("/api/devices").json()["devices"][0]["id"]


def test_a_household_is_not_there_for_another_one(six: Six) -> None:
    named = six.found(six.other, routes(*OF_HOUSEHOLDS, ANYBODY), **{"steading-household": "first"})
    assert unlike(named, 404) == {}


def test_what_another_household_asks_changes_nothing_of_the_first(six: Six) -> None:
    before = six.many.store.version("first").version
    own = [route for route in routes(*OF_HOUSEHOLDS) if not any(part in route for part in AWAY)]
    found = six.found(six.other, iter(own))
    assert {route: status for route, status in found.items() if status == 401 or status >= 500} == {}
    ends = [route for route in routes(*OF_HOUSEHOLDS) if "{device}" in route or "tokens/{token}" in route]
    assert unlike(six.found(six.other, iter(ends)), 404, 405, 422) == {}
    people = [route for route in routes(*OF_HOUSEHOLDS) if "{person}" in route]
    assert unlike(six.found(six.other, iter(people)), 404, 422) == {}
    assert six.many.store.version("first").version == before


@pytest.mark.parametrize("name", ["keeper", "member", "other"])
def test_a_group_is_there_for_coaches_alone(six: Six, name: str) -> None:
    assert unlike(six.found(getattr(six, name), routes(COACH)), 404) == {}


def test_a_group_of_another_coach_is_as_one_that_is_not_there(six: Six) -> None:
    every = [route for route in routes(COACH) if "{group}" in route]
    found = six.found(six.another, iter(every))
    none = six._replace(places=six.places | {"group": "none"})
    # What cannot be read is told before anything is looked for, of any group alike.
    assert unlike(found, 404, 422) == {}
    assert found == none.found(six.another, iter(every))


def test_a_coach_is_refused_nothing_of_their_group(six: Six) -> None:
    found = six.found(six.coach, routes(COACH))
    assert {route: status for route, status in found.items() if status in {401, 403} or status >= 500} == {}
    looks = [
        route for route in found if route.startswith("GET") and route.count("{") == route.count("{group}")
    ]
    assert {route: found[route] for route in looks if found[route] == 404} == {}


def test_a_member_is_refused_what_keepers_do_and_what_is_another_ones(six: Six) -> None:
    assert unlike(six.found(six.member, routes(KEEPER, THEIRS)), 403) == {}


@pytest.mark.parametrize(
    ("name", "levels"), [("member", (MEMBER, ANYBODY)), ("keeper", (*OF_HOUSEHOLDS, ANYBODY))]
)
def test_nobody_is_refused_what_they_may_do(six: Six, name: str, levels: tuple[str, ...]) -> None:
    here = [
        route for route in routes(*levels) if route not in LAST and not any(part in route for part in AWAY)
    ]
    found = six.found(getattr(six, name), iter(here))
    assert {route: status for route, status in found.items() if status in {401, 403} or status >= 500} == {}


def test_a_household_that_shares_nothing_is_not_shown_to_its_coach(six: Six) -> None:
    with six.many.store.reading("first") as reading:
        shared = reading.enrolment()
    assert isinstance(shared, Enrolment)
    assert shared.level == NOTHING
    assert six.coach.get("/api/groups/g/households/first").status_code == 404
    assert shared.name not in six.coach.get("/groups/g/households").text
