"""Stories of a house in which every form stands somewhere, and a walk that takes the forms down."""

from __future__ import annotations

import re
from collections import Counter
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, timedelta
from typing import TYPE_CHECKING

from jinja2.ext import Extension

from attack.surface import Form, Routes, forms, links
from coach.coaching.demo import furnish, tern_street
from coach.ground.passkeys import Passkey
from coach.ground.questions import Note
from coach.household import data
from coach.progress.csvform import write_log
from coach.web.pages.once import FIELD
from coach.web.rendering import templates
from web.at_home import HomeHouse
from web.coaching.in_a_group import join
from web.coaching.valley import ANA, Valley
from web.forms import see, send
from web.kitchen.full_week import ask
from web.markup import read
from web.messages.with_post import with_message
from web.test_two_people_rooms import form_of
from web.week.house import grown

if TYPE_CHECKING:
    from collections.abc import Iterator

    from web.house import House
    from web.markup import Element

TODAY = date(2027, 1, 26)
POSTED = re.compile(r'<form (?=[^\n]*method="post"|\{\{ sends\()')
ALIKE = 2
"""Pages of one kind that are looked at in a story; their forms come from the same lines of a template."""


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
    visit.walk("/", "/areas/weeks", "/quick?line=mend+the+gate", "/rescue", "/sheet/2027-W04/enter")
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
    for title in ("Bins", "Keys", "Vet"):
        page = {"title": title, "markdown": "As it is.", "whom": ["sitter"]}
        ask(house, "POST", "/api/handover/pages", page)
    visit.walk("/handover?again")
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


def in_a_group(visit: Visit) -> None:
    """A coach's group that the household came into, and a home that could be brought along."""
    visit.house.start()
    group = join(visit.house)
    with visit.house.app.state.context.store.coaching_writing() as writing:
        writing.put_note(Note(group, visit.house.today, "Open the windows.", visit.house.now))
    visit.walk("/today", "/sharing", "/data/home", "/leave")


def a_coach_looks(visit: Visit) -> None:
    """A group with questions, an answer, a note and an invitation, as its coach sees it."""
    house = visit.house
    assert isinstance(house, Valley)
    house.furnish()
    wanted = {"for": "household", "group": house.group_made.id}
    invited = house.asker(ANA).post("/api/invitations", json=wanted)
    visit.walk("/homes", "/enrol")
    visit.look(read(house.http.post("/enrol", data={"code": invited.json()["code"]}).text))
    house.http = house.asker(ANA)
    visit.walk("/groups", "/groups/new", house.place, f"{house.place}/questions")
    words = {"step": "bed-made", "title": "Our bed", "text": "# Covers\nPull them straight."}
    changes = send(house, f"{house.place}/course/words", **words)
    version = changes.partition("version=")[2].partition("&")[0]
    later = str(house.today + timedelta(days=3))
    send(house, f"{house.place}/course/changes", version=version, since=later)
    visit.walk(f"{house.place}/course?again", f"{house.place}/course/words?step=linen", changes)


def people_come_in(visit: Visit) -> None:
    """A phone is paired, somebody new asks to come in, and a program has a token."""
    house = visit.house
    assert isinstance(house, HomeHouse)
    house.start()
    ana = house.paired("Ana")
    ben, seen = house.paired("Ben", 8), house.app.state.context.store.version("home").version
    assert ana.post("/api/tokens", json={"name": "wall"}).status_code == 201
    assert ana.post("/api/feeds", json={"name": "phone"}).status_code == 201
    people = {one["name"]: one["person"] for one in ana.get("/api/people").json()["people"]}
    with_a_passkey(house, people["Ana"])
    visit.walk("/devices", "/people", "/pair", "/calendar", "/sign-in")
    visit.look(read(house.http.post("/pair", data={"code": house.code()}).text))
    visit.look(read(house.http.post("/pair", data={"code": house.code(ana, **{"for": "me"})}).text))
    visit.look(read(ana.get("/today").text))
    address = f"/days/{house.today}/marks/bed-made"
    assert ana.post(address, data={"mark": "kept"}).status_code == 303
    clash = ben.post(address, data={"mark": "missed", "seen_version": str(seen)})
    visit.look(read(clash.text))
    machine, house.http = house.http, ana
    visit.walk("/devices?paired", "/more?paired", "/passkeys?paired", "/recovery?paired")
    house.http = machine


def with_a_passkey(house: HomeHouse, person: str) -> None:
    """Somebody has a passkey and a recovery sheet."""
    with house.app.state.context.store.people_writing() as writing:
        writing.add_passkey(Passkey("cred", person, "key", 0, "blue phone", house.now, house.now))
        writing.put_sheet(person, "BCDF", ["hash"], house.now)


def messages_are_wanted(visit: Visit) -> None:
    """One was sent by mail, and its link was followed."""
    visit.house.start()
    link = with_message(visit.house)
    visit.walk("/reminders", link)
    visit.look(read(visit.house.http.post(link).text))
    visit.walk("/reminders?again")
    visit.house.http.post("/reminders", data={"way": "mail", "at": "07:00", "address": "ana@example.org"})


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
    in_a_group,
    a_coach_looks,
    messages_are_wanted,
)


@contextmanager
def named() -> Iterator[None]:
    """Forms say which template they come from."""
    templates.env.add_extension(Numbered)
    (templates.env.cache or {}).clear()
    yield
    del templates.env.extensions[Numbered.identifier]
    (templates.env.cache or {}).clear()
