"""Every form says what it saw, has a name for itself, or is the same when it is sent twice, and why."""

from __future__ import annotations

import re
from collections import Counter
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date
from typing import TYPE_CHECKING

import pytest
from jinja2.ext import Extension

from attack.surface import Form, Routes, forms, links
from coach.coaching.demo import furnish, tern_street
from coach.household import data
from coach.progress.csvform import write_log
from coach.web.pages.household.data import CONFIRMATION
from coach.web.pages.once import FIELD
from coach.web.rendering import HERE, templates
from web.at_home import HomeHouse
from web.forms import see, send
from web.house import House
from web.kitchen.full_week import ask
from web.markup import read
from web.test_two_people_rooms import form_of
from web.week.house import grown

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from web.markup import Element

TODAY = date(2027, 1, 26)
POSTED = re.compile(r'<form (?=[^\n]*method="post"|\{\{ sends\()')
ALIKE = 2
"""Pages of one kind that are looked at in a story; their forms come from the same lines of a template."""

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
    "/areas/proposal": SHOWN,
    "/areas/rooms": SHOWN,
    "/devices/code": OWN,
    "/devices/invitation": OWN,
    "/devices/tokens": OWN,
    "/devices/codes/end": GOES,
    "/devices/others/end": GOES,
    "/devices/{device}/name": SETS,
    "/devices/{device}/end": GOES,
    "/devices/tokens/{token}/end": GOES,
    "/people/{person}/name": SETS,
    "/people/{person}/role": SETS,
    "/people/{person}/remove": GOES,
    "/sign-out": GOES,
    "/data/import": SHOWN,
    "/data/restore": SHOWN,
    "/data/check/{token}/leave": GOES,
    "/data/forget": "after it there is nothing to forget",
    "/rescue/restore": SHOWN,
    "/rescue/restore/{token}": "what was shown is no longer there to be restored",
}
"""The addresses whose forms carry nothing, and why sending one twice is the same as once."""


class Numbered(Extension):
    """Names every form that changes something by its template and its number in there."""

    def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:  # noqa: ARG002  as Jinja calls it
        """A template with an attribute more in each such form."""
        parts = POSTED.split(source)
        named = [f'<form data-from="{name} {number}" {part}' for number, part in enumerate(parts[1:], 1)]
        return "".join([parts[0], *named])


@dataclass(frozen=True, slots=True)
class Shown:
    """A form as a page shows it.

    Attributes:
        place: Its template and its number in there.
        route: What its address is an address of.
        carries: What it carries of `seen` and `request_id`.
    """

    place: str
    route: str
    carries: frozenset[str]


@dataclass
class Visit:
    """A walk through a house, from link to link.

    Attributes:
        shown: The forms of all pages.
        sent: Of every route a form as a browser would send it, each button once.
    """

    house: House
    routes: Routes
    shown: set[Shown] = field(default_factory=set)
    sent: dict[str, list[Form]] = field(default_factory=dict)
    _seen: set[str] = field(default_factory=set)

    def walk(self, *starts: str) -> None:
        """Look at these pages and at those they lead to, a few of each kind."""
        ahead, kinds = list(starts), Counter[str]()
        for address in ahead:
            kind = self.routes.template("GET", address.partition("?")[0]) or "/api"
            kinds[kind] += address not in self._seen
            if address in self._seen or kind.startswith("/api") or kinds[kind] > ALIKE:
                continue
            self._seen.add(address)
            answer = self.house.http.get(address)
            if answer.is_redirect:
                ahead.append(answer.headers["location"])
            elif "text/html" in answer.headers["content-type"]:
                page = read(answer.text)
                self.look(page, address)
                ahead += sorted(links(page, address))

    def _posted(self, action: str | None) -> str | None:
        return self.routes.template("POST", action) if action else None

    def look(self, page: Element, address: str = "/") -> None:
        """Take a page's forms down."""
        for form in page.every("form", method="post"):
            route = self.routes.template("POST", form.attributes["action"])
            assert route, form.attributes["action"]
            names = {one.attributes.get("name", "") for one in form.every("input", type="hidden")}
            carries = {"seen" if name.endswith("seen") else name for name in names}
            self.shown.add(Shown(form.attributes["data-from"], route, frozenset(carries & {"seen", FIELD})))
            elsewhere = (one.attributes.get("formaction") for one in form.every("button"))
            for other in filter(None, map(self._posted, elsewhere)):
                self.shown.add(
                    Shown(form.attributes["data-from"], other, frozenset(carries & {"seen", FIELD}))
                )
        for one in forms(page, address):
            self.sent.setdefault(self.routes.template(one.method, one.action) or "", []).append(one)


def before_the_start(visit: Visit) -> None:
    """Nobody has begun."""
    visit.walk("/", "/data", "/rescue")


def tern_street_lives_there(visit: Visit) -> None:
    """Months in, with a whole home plan."""
    context = visit.house.app.state.context
    visit.house.sleep((TODAY - visit.house.today).days)
    data.load(context, "home", write_log(tern_street(context.library.course("three-weeks"), TODAY)))
    furnish(context, "home", TODAY)
    visit.walk("/", "/areas/weeks", "/quick?line=mend+the+gate", "/rescue")
    visit.walk(send(visit.house, f"/days/{TODAY}/parts/evening", mark="kept").partition("#")[0])
    send(visit.house, "/today/few", stay="bed-made")
    visit.walk("/today?again")
    send(visit.house, "/areas/weeks/declutter", weeks="2")
    send(visit.house, "/areas/kitchen/rooms", room="Pantry")
    visit.walk("/areas/weeks?again", "/areas/kitchen?again")
    ask(visit.house, "PATCH", "/api/areas", {"mode": "need"})
    visit.walk("/areas/weeks?by-need")


def a_home_to_divide(visit: Visit) -> None:
    """Rooms are picked, proposed and picked again."""
    visit.house.start()
    rooms = {"room": ["Kitchen", "Hall", "Study"], "areas": "2"}
    visit.look(read(visit.house.http.post("/areas/proposal", data=rooms).text))
    visit.look(read(visit.house.http.post("/areas/proposal", data={"room": ["Chapel"]}).text))
    visit.walk("/areas", "/more")


def a_week_in_work(visit: Visit) -> None:
    """A job with lines of its own, a job moved, a thaw, and no dinner today."""
    house = grown(visit.house)
    whole = {"lines": [{"title": "Post", "minutes": 5}, {"title": "Shop", "minutes": 5}], "stop_after": 10}
    assert house.http.put("/api/jobs/out-and-back/lines", json=whole).status_code == 200
    frozen = [{"name": "joint", "weight": "1 kg", "kind": "cut"}]
    answer = house.http.put("/api/dinners/2027-01-31", json={"dish": "Roast", "frozen": frozen})
    assert answer.status_code == 200, answer.text
    line = ask(house, "GET", "/api/jobs/out-and-back")["lines"][0]["line"]
    send(house, "/jobs/out-and-back/ticks", on=str(house.today), line=line, state="done")
    for what, done in (("dues", {"name": "Rent", "on": "2027-01-30"}), ("to-dos", {"titles": ["Ring"]})):
        assert house.http.post(f"/api/{what}", json=done).status_code == 201
    [due], [todo] = ask(house, "GET", "/api/dues")["dues"], ask(house, "GET", "/api/to-dos")["open"]
    send(house, f"/desk/dues/{due['id']}/seen-to/2027-01-30")
    send(house, f"/desk/to-dos/{todo['id']}/done")
    ask(house, "POST", "/api/shopping/lines", {"lines": ["soap", "string"]})
    ask(house, "PUT", "/api/shopping", {"key": "soap", "tick": "in-basket"})
    ask(house, "PUT", "/api/available", {"minutes": {"SA": 40}})
    visit.walk("/week/2027-W05/balance")
    visit.walk("/jobs/out-and-back", "/jobs/out-and-back/lines", "/today", "/dinner", "/shopping", "/desk")
    visit.walk("/week")
    send(house, "/jobs/linen/move", on="2027-02-05", to="2027-02-03")
    visit.walk("/week?again")


def steps_at_hand(visit: Visit) -> None:
    """One is stuck, one set aside, one to come; an absence is planned."""
    visit.house.start()
    visit.house.live(11, "missed")
    send(visit.house, "/away", since="2027-02-10")
    visit.walk("/today", "/away", "/steps/out-and-back")
    send(visit.house, "/steps/bed-made/set-aside")
    visit.walk("/steps/bed-made?again")


def away(visit: Visit) -> None:
    """Away now."""
    visit.house.start()
    visit.house.live(1)
    send(visit.house, "/away")
    visit.walk("/today", "/away")


def back_again(visit: Visit) -> None:
    """The day of a return."""
    visit.house.start()
    visit.house.live(3)
    visit.house.sleep(30)
    visit.walk("/today")


def something_else_to_come(visit: Visit) -> None:
    """A log and a backup were chosen; one has been brought in before."""
    http = visit.house.http
    visit.house.start()
    log, backup = http.get("/api/log.csv").content, http.get("/data/backup").content
    visit.house.live(1)
    for address, name, content in (
        ("/data/import", "log", log),
        ("/data/restore", "saved", backup),
        ("/rescue/restore", "saved", backup),
        ("/data/import", "log", log),
    ):
        shown = http.post(address, files={name: ("a file", content)}).headers["location"]
        visit.walk(shown)
    visit.walk(send(visit.house, shown, **form_of(see(visit.house, shown), shown)))


def people_come_in(visit: Visit) -> None:
    """A phone is paired, somebody new asks to come in, and a program has a token."""
    house = visit.house
    assert isinstance(house, HomeHouse)
    house.start()
    ana = house.paired("Ana")
    ben, seen = house.paired("Ben", 8), house.app.state.context.store.version("home").version
    assert ana.post("/api/tokens", json={"name": "wall"}).status_code == 201
    visit.walk("/devices", "/people", "/pair")
    visit.look(read(house.http.post("/pair", data={"code": house.code()}).text))
    visit.look(read(house.http.post("/pair", data={"code": house.code(ana, **{"for": "me"})}).text))
    visit.look(read(ana.get("/today").text))
    address = f"/days/{house.today}/marks/bed-made"
    assert ana.post(address, data={"mark": "kept"}).status_code == 303
    clash = ben.post(address, data={"mark": "missed", "seen_version": str(seen)})
    visit.look(read(clash.text))
    machine, house.http = house.http, ana
    visit.walk("/devices?paired", "/more?paired")
    house.http = machine


STORIES = (
    before_the_start,
    tern_street_lives_there,
    a_home_to_divide,
    a_week_in_work,
    steps_at_hand,
    away,
    back_again,
    people_come_in,
    something_else_to_come,
)


@contextmanager
def named() -> Iterator[None]:
    """Forms say which template they come from."""
    templates.env.add_extension(Numbered)
    (templates.env.cache or {}).clear()
    yield
    del templates.env.extensions[Numbered.identifier]
    (templates.env.cache or {}).clear()


@pytest.fixture(scope="module")
def visits(tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[Visit]]:
    """Every story, each in a house of its own."""
    kinds = {people_come_in: HomeHouse}
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
    return house.app.state.context.store.version("home"), house.http.get("/rescue/log.csv").text


TYPED = {"dish": "Soup", "more": "Kitchen\nHall", "name": "Wall", "confirmation": CONFIRMATION}
"""What somebody types into fields that are empty on the page."""

LAST = ("/{device}/end", "/others/end", "/remove", "/leave", "/rescue/restore/{token}", "/data/forget")
"""What takes the ground from under other forms, or from under itself."""


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
    assert sorted(WITHOUT.keys() - taken) == ["/data/import", "/data/restore", "/rescue/restore"]
