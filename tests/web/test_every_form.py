"""Every form says what it saw, has a name for itself, or is the same when it is sent twice, and why."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

import pytest

from attack.surface import Form, Routes
from coach.web.pages.household.data import CONFIRMATION
from coach.web.rendering import HERE
from web.at_home import HomeHouse
from web.coaching.valley import Valley
from web.form_stories import POSTED, STORIES, Shown, Visit, a_coach_looks, named, people_come_in
from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

ALIKE_FORMS = 12
"""Forms of one address with the same fields that are sent in a story; a grid has one for each box."""

SETS = "it sets what it names, whatever stood there"
ONCE = "there is one of it at the most, whoever asks"
SHOWN = "it shows what would be done, and does nothing"
GOES = "what it names is gone afterwards"
OWN = "each is one of its own, is shown this once, and ends by itself"

WITHOUT = {
    "/catalogue/{step}": ONCE,
    "/days/{date}/marks/{step}": SETS,
    "/days/{date}/taken/{step}": SETS,
    "/days/lines/{step}": SETS,
    "/days/{date}/parts/{slot}": SETS,
    "/jobs/{step}/marks/{date}": SETS,
    "/jobs/{step}/ticks": SETS,
    "/jobs/{step}/timer": ONCE,
    "/areas/week/tasks/{task}": SETS,
    "/today/area/{task}": SETS,
    "/steps/{step}/set-aside": SETS,
    "/steps/{step}/restore": SETS,
    "/steps/{step}/next": SETS,
    "/more/open": SETS,
    "/shopping": SETS,
    "/shopping/clear": GOES,
    "/dinner/{date}/dish": "what somebody else has planned meanwhile is shown first",
    "/dinner/{date}/frozen/{number}": SETS,
    "/desk/dues/{due}/seen-to/{date}": SETS,
    "/desk/to-dos/{todo}/done": SETS,
    "/desk/picked": SETS,
    "/handover/order": SETS,
    "/areas/proposal": SHOWN,
    "/areas/rooms": SHOWN,
    "/calendar": OWN,
    "/calendar/{feed}/change": SETS,
    "/calendar/{feed}/secret": OWN,
    "/calendar/{feed}/end": GOES,
    "/devices/code": OWN,
    "/devices/invitation": OWN,
    "/devices/tokens": OWN,
    "/devices/codes/end": GOES,
    "/devices/others/end": GOES,
    "/devices/{device}/name": SETS,
    "/devices/{device}/end": GOES,
    "/devices/tokens/{token}/end": GOES,
    "/homes": SETS,
    "/people/{person}/name": SETS,
    "/people/{person}/role": SETS,
    "/people/{person}/remove": GOES,
    "/sign-out": GOES,
    "/passkeys/{passkey}/name": SETS,
    "/passkeys/{passkey}/remove": GOES,
    "/recovery": OWN,
    "/recovery/end": GOES,
    "/reminders": SETS,
    "/reminders/end": GOES,
    "/reminders/test": "a second one is refused for a minute",
    "/stop/{token}": GOES,
    "/stop/{token}/back": SETS,
    "/data/import": SHOWN,
    "/data/restore": SHOWN,
    "/data/home": SHOWN,
    "/groups/{group}/name": SETS,
    "/groups/{group}/course": "the same file is the same version",
    "/groups/{group}/course/words": "the same words are the same version",
    "/groups/{group}/course/changes": SETS,
    "/groups/{group}/course/changes/take-back": GOES,
    "/groups/{group}/answers/{answer_id}": SETS,
    "/groups/{group}/questions/{question}/apart": SETS,
    "/groups/{group}/questions/{question}/together": SETS,
    "/groups/{group}/notes": SETS,
    "/groups/{group}/notes/{date}/drop": GOES,
    "/groups/{group}/invitation": OWN,
    "/groups/{group}/invitation/end": GOES,
    "/notes/{date}/away": SETS,
    "/sharing": SETS,
    "/sharing/leave": GOES,
    "/data/check/{token}/leave": GOES,
    "/data/forget": "after it there is nothing to forget",
    "/rescue/restore": SHOWN,
    "/rescue/restore/{token}": "what was shown is no longer there to be restored",
}
"""The addresses whose forms carry nothing, and why sending one twice is the same as once."""


@pytest.fixture(scope="module")
def visits(tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[Visit]]:
    """Every story, each in a house of its own."""
    kinds: dict[object, type[House]] = {people_come_in: HomeHouse, a_coach_looks: Valley}
    houses = [kinds.get(story, House)(tmp_path_factory.mktemp(story.__name__)) for story in STORIES]
    found = [Visit(house, Routes.of(house.app)) for house in houses]
    with named():
        for story, visit in zip(STORIES, found, strict=True):
            story(visit)
    yield found
    for house in houses:
        house.close()


@pytest.fixture(scope="module")
def shown(visits: list[Visit]) -> set[Shown]:
    """The forms of all pages of all stories."""
    return {one for visit in visits for one in visit.shown}


def test_every_form_of_every_template_and_every_address_is_looked_at(
    visits: list[Visit], shown: set[Shown]
) -> None:
    files = sorted((HERE / "templates").rglob("*.html"))
    folder = HERE / "templates"
    counts = {file.relative_to(folder): len(POSTED.findall(file.read_text())) for file in files}
    places = {f"{name} {number + 1}" for name, count in counts.items() for number in range(count)}
    assert sorted(places - {one.place for one in shown}) == []
    posted = {path for verb, path in visits[0].routes.all if verb == "POST" and not path.startswith("/api")}
    assert sorted(posted - {one.route for one in shown}) == []


def test_every_form_carries_something_or_is_the_same_twice(shown: set[Shown]) -> None:
    assert not [one for one in shown if not one.carries and one.route not in WITHOUT]


def test_nothing_is_listed_that_carries_something(shown: set[Shown]) -> None:
    assert sorted(WITHOUT) == sorted({one.route for one in shown if not one.carries})


def _stored(house: House) -> tuple[object, str]:
    """All that tells whether anything was written."""
    log = house.http.get("/rescue/log.csv")
    return house.app.state.context.store.version("home"), log.text if log.is_success else str(log.status_code)


TYPED = {"dish": "Pie", "text": "Air", "more": "Kitchen\nHall", "name": "Wall", "confirmation": CONFIRMATION}
"""What somebody types into fields that are empty on the page."""

LAST = (
    "/{device}/end",
    "/{feed}/end",
    "/others/end",
    "/reminders/end",
    "/remove",
    "/recovery/end",
    "/leave",
    "/rescue/restore/{token}",
    "/data/forget",
)
"""What takes the ground from under other forms, or from under itself."""


THEIRS = (
    "/days/{date}/taken/{step}",
    "/homes",
    "/passkeys/{passkey}/name",
    "/passkeys/{passkey}/remove",
    "/recovery/end",
)
"""What those who ask in these stories cannot do, the machine itself and a coach; members do in
tests/web/habits/test_hands_pages.py and in tests/web/people/."""

FIRST = ("/next", "/ticks")
"""What a mark of today takes the ground from under: it can bring the step, and ends the job."""


def _in_order(route: str) -> tuple[int, str]:
    if route.endswith(FIRST):
        return -1, route
    return next((place for place, end in enumerate(LAST, 1) if route.endswith(end)), 0), route


def _few_alike(forms: Iterable[Form]) -> Iterator[Form]:
    """Of the forms of one address those that differ in what they fill in, and a few of each."""
    kinds = Counter[tuple[str, ...]]()
    for form in forms:
        kind = tuple(sorted(name for name, _ in form.fields))
        kinds[kind] += 1
        if kinds[kind] <= ALIKE_FORMS:
            yield form


def test_a_form_that_carries_nothing_is_the_same_twice(visits: list[Visit]) -> None:
    taken = set()
    for visit in visits:
        for route in sorted(WITHOUT.keys() & visit.sent.keys(), key=_in_order):
            for form in _few_alike(one for one in visit.sent[route] if not one.files):
                fields = {name: text or TYPED.get(name, "") for name, text in form.fields}
                first = visit.house.http.post(form.action, data=fields)
                then = _stored(visit.house)
                again = visit.house.http.post(form.action, data=fields)
                assert _stored(visit.house) == then, (form, again.text)
                assert again.status_code < 500
                if first.status_code in {200, 303}:
                    taken.add(route)
    files = ("/data/home", "/data/import", "/data/restore", "/groups/{group}/course", "/rescue/restore")
    assert sorted(WITHOUT.keys() - taken) == sorted((*files, *THEIRS))
