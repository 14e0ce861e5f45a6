"""Isolation: fifty homes and five coaches on one service, asked with wrong ids, tokens and headers.

`PYTHONPATH=tests .venv/bin/python -m attack.homes --rounds 100000`

Every home, coach and group holds words of its own. No answer may hold a word that whoever asks is not to see,
no row may hold a word of somebody who may not write it, and no request may fail.
"""

from __future__ import annotations

import asyncio
import json
import logging
import re
import sys
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlencode

from sqlalchemy import text

from attack.rounds import run
from attack.surface import Routes, example
from coach.app import create_app
from coach.areas import setup as areas
from coach.coaching.invented import DAY_STARTS, ZONE
from coach.desk import todos
from coach.errors import NotEditable
from coach.ground.groups import BY_NAME, COUNTED, NOTHING, Enrolment, Group
from coach.ground.people import Session
from coach.ground.questions import Note, Question
from coach.household import data
from coach.household.devices import hashed
from coach.kitchen import shopping_lines
from coach.paper import pages
from coach.paper.pages import TypedPage
from coach.progress.csvform import write_log
from coach.progress.log import Row, What
from coach.settings import Settings
from coach.store.every_table import ALL_TABLES

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fastapi import FastAPI
    from starlette.types import Message

    from attack.rounds import Attack
    from coach.ground.groups import Level

ROUNDS = 100_000
HOMES, COACHES = 50, 5
HOST = "steading.example"
NOW = datetime(2027, 1, 25, 8, tzinfo=UTC)
TODAY = NOW.date()
BEGUN = TODAY - timedelta(days=9)
LEVELS: tuple[Level, ...] = (NOTHING, COUNTED, BY_NAME)
FAILURE = 500
LOOK_EVERY = 1000
SELDOM = re.compile(r"forget|leave|clear|sign-out|/import|/log\.csv|/home$|/adopt")
"""What ends a home or a session, or puts another in its place, is asked a little of the time."""

ID = re.compile(
    r'"(?:id|task|area|room|device|token|question|digest|person|feed|group|dish|key)": ?"([^"]{1,80})"'
)
"""How an answer names what can be asked for."""

MOST_IDS, KEPT_IDS = 1200, 400
"""So many things are asked for; those of the homes themselves, which come first, stay."""

WORD = re.compile(r"q[wbnc]\d\dz")
"""A word: `qw` what stands in a home and is nobody else's, `qb` what its people send, `qn` its name, `qc`
what a coach sends; two figures say whose."""


@dataclass(frozen=True)
class Asker:
    """Somebody who asks.

    Attributes:
        name: For the report.
        secret: What they show; empty: nothing.
        kind: How they show it.
        home: The number of their home; None: they have none.
        coach: The number of the coach they are; None: they are none.
    """

    name: str
    secret: str
    kind: str = "program"
    home: int | None = None
    coach: int | None = None

    @property
    def own(self) -> str:
        """The word in what they send."""
        if self.home is not None:
            return f"qb{self.home:02}z"
        return "qb99z" if self.coach is None else f"qc{self.coach:02}z"

    def may_see(self, word: str, levels: dict[int, Level]) -> bool:
        """Whether an answer to them may hold a word."""
        whose, number = word[1], int(word[2:4])
        if whose == "c":
            return number == (self.coach if self.home is None else self.home % COACHES)
        if number == self.home or word == self.own:
            return True
        theirs = self.coach is not None and number % COACHES == self.coach
        # What a home sends may be a question; its name is told by name alone, or with a question.
        return theirs and (whose == "b" or (whose == "n" and levels[number] == BY_NAME))


def household_of(number: int) -> str:
    """The key of a home; no word stands in it, since keys are sent at random."""
    return f"h{number:02}-{hashed(f'home {number}')[:8]}"


def group_of(number: int) -> str:
    """The key of a coach's group."""
    return f"g{number}-{hashed(f'group {number}')[:8]}"


class Street:
    """The homes and coaches, and what goes on being asked of their service."""

    def __init__(self, attack: Attack, app: FastAPI) -> None:
        self.random, self.tally, self.app = attack.random, attack.tally, app
        self.context = app.state.context
        self.levels = {number: LEVELS[number % len(LEVELS)] for number in range(HOMES)}
        self.routes = Routes.of(app)
        self._description: dict[str, Any] = app.openapi()
        self.askers = [Asker("nobody", ""), Asker("a stranger", "not-a-secret")]
        self._ids: list[str] = [
            str(TODAY), str(TODAY - timedelta(days=1)), "2027-W04", "bed-made", "three-weeks", "q-1", "0",
        ]  # fmt: skip
        for number in range(COACHES):
            self._found(number)
        for number in range(HOMES):
            self._settle(number)

    def _session(self, name: str, household: str, person: str, kind: str, *, as_coach: bool = False) -> str:
        secret, ends = f"secret-of-{name}", NOW + timedelta(days=20)
        scope = "read" if "reads" in name else "write"
        session = Session(f"s-{name}", household, person, kind, scope, name, NOW, NOW, ends, as_coach)  # type: ignore[arg-type]  # of the words that are kinds
        with self.context.store.people_writing() as people:
            people.drop_session(household, session.id)
            people.add_session(hashed(secret), session)
        self._ids.append(session.id)
        return secret

    def _found(self, number: int) -> None:
        """A coach with a group, a note and a day for it."""
        person, word = f"c{number}", f"qc{number:02}z"
        group = Group(group_of(number), person, f"Group {word}", "three-weeks", BEGUN, "en-GB", NOW)
        with self.context.store.people_writing() as people:
            people.add_person(person, f"Coach {word}", NOW)
        with self.context.store.coaching_writing() as coaching:
            coaching.put_coach(person, NOW)
            coaching.put_group(group)
            coaching.put_note(Note(group.id, TODAY, f"A note {word}", NOW))
        self._ids += [person, group.id]
        for kind in ("program", "browser"):
            secret = self._session(f"coach-{number}-{kind}", "", person, kind, as_coach=True)
            self.askers.append(Asker(f"coach {number}", secret, kind, None, number))

    def _settle(self, number: int) -> None:
        """A home with a log, a plan, three who are let in, a question, and its word in all of it."""
        household, word = household_of(number), f"qw{number:02}z"
        rows = [
            Row(BEGUN, What.ZONE, value=ZONE),
            Row(BEGUN, What.DAY_STARTS, value=DAY_STARTS),
            Row(BEGUN, What.START, "bed-made", "standard"),
            Row(BEGUN, What.ADD, word, json.dumps({"title": f"Step {word}", "minutes": 2})),
            Row(TODAY - timedelta(days=1), What.KEPT, word),
        ]
        data.load(self.context, household, write_log(rows))
        for person in (f"k{number}", f"m{number}"):
            with self.context.store.reading(household) as reading:
                is_known = bool(reading.names_of([person]))
            with self.context.store.people_writing() as people:
                if not is_known:
                    people.add_person(person, f"{person} {word}", NOW)
                people.put_member(household, person, "keeper" if person[0] == "k" else "member", NOW)
        theirs = replace(self.context, by=f"k{number}")
        todos.add(theirs, household, f"To do {word}")
        shopping_lines.add(theirs, household, f"Shopping {word}")
        # Its plan stays where only its log or its people are put back.
        with suppress(NotEditable):
            areas.set_up(theirs, household, ("Kitchen", "Hall"))
        pages.add(theirs, household, TypedPage(f"Page {word}", f"Where the {word} is.", ("sitter",)))
        self._enrol(number, household)
        self._ids += [household, f"k{number}", f"m{number}"]
        for name, person, kind in (
            (f"home-{number}-keeper", f"k{number}", "browser"),
            (f"home-{number}-member", f"m{number}", "program"),
            (f"home-{number}-reads", f"k{number}", "program"),
        ):
            secret = self._session(name, household, person, kind)
            asker = Asker(f"home {number} ({name})", secret, kind, number)
            self.askers = [one for one in self.askers if one.name != asker.name] + [asker]

    def _enrol(self, number: int, household: str) -> None:
        group, level = group_of(number % COACHES), self.levels[number]
        until = TODAY + timedelta(days=100)
        enrolment = Enrolment(household, f"Home qn{number:02}z", group, NOW, level, NOW, until)
        with self.context.store.writing(household) as writing:
            writing.put_enrolment(enrolment)
        asked = f"Why, qb{number:02}z?"
        question = Question(
            f"q-{number}", group, household, f"k{number}", "bed-made", 1, asked, with_name=False, asked_at=NOW
        )
        with self.context.store.coaching_writing() as coaching:
            coaching.put_question(question)
        self._ids.append(question.id)

    async def ask(self) -> None:
        """One request, judged."""
        asker = self.random.choice(self.askers)
        method, template = self.random.choice(sorted(self.routes.all))
        if SELDOM.search(template) and method != "GET" and self.random.random() < 0.97:
            return
        path = "/".join(self._part(part) for part in template.split("/"))
        headers = self._headers(asker)
        body = b"" if method in {"GET", "HEAD"} else self._body(method, template, asker, headers)
        status, answer = await asked(self.app, method, path, headers, body)
        self.tally.count(f"answered {status // 100}xx")
        self.routes.meet(method, path)
        said = f"{status} to {method} {path} by {asker.name} with {headers}"
        self.tally.expect(status < FAILURE, f"{said}: {answer[:300]!r}")
        self._learn(answer)
        for word in sorted(set(WORD.findall(answer.decode(errors="replace")))):
            self.tally.expect(asker.may_see(word, self.levels), f"{word} in {said}, body {body[:200]!r}")
        named = headers.get("steading-household")
        if named is not None and asker.home is not None and named != household_of(asker.home):
            open_to_all = status in {301, 302, 303, 307, 308} or template.startswith(("/static", "/problems"))
            refused = status in {400, 401, 403, 404, 405, 413, 415, 422, 429} or open_to_all
            if not refused and not _is_everybodys(template):
                self.tally.fault(f"{named} was let be named in {said}")

    def _learn(self, answer: bytes) -> None:
        """Keep what an answer calls its things, to be asked for by everybody else."""
        for known in ID.findall(answer.decode(errors="replace"))[:20]:
            if known not in self._ids and not WORD.search(known):
                self._ids.append(known)
        if len(self._ids) > MOST_IDS:
            del self._ids[self.random.randrange(KEPT_IDS, len(self._ids))]

    def _headers(self, asker: Asker) -> dict[str, str]:
        headers = {"host": HOST, "x-forwarded-proto": "https"}
        if asker.secret and asker.kind == "program":
            headers["authorization"] = f"Bearer {asker.secret}"
        elif asker.secret:
            headers["cookie"] = f"__Host-steading={asker.secret}"
            headers |= {"sec-fetch-site": "same-origin", "origin": f"https://{HOST}"}
        if self.random.random() < 0.15:
            headers["steading-household"] = self.random.choice(self._ids)
        if self.random.random() < 0.05:
            headers["x-forwarded-for"] = "127.0.0.1"
        return headers

    def _part(self, part: str) -> str:
        return quote(self.random.choice(self._ids)) if part.startswith("{") else part

    def _body(self, method: str, template: str, asker: Asker, headers: dict[str, str]) -> bytes:
        described = self._description["paths"].get(template, {}).get(method.lower(), {})
        kinds = described.get("requestBody", {}).get("content", {})
        if "application/json" in kinds:
            headers["content-type"] = "application/json"
            parts = self._description["components"]["schemas"]
            value = example(kinds["application/json"]["schema"], parts, self.random)
            return json.dumps(self._worded(value, asker)).encode()
        headers["content-type"] = "application/x-www-form-urlencoded"
        names = (
            "title",
            "titles",
            "text",
            "name",
            "note",
            "step",
            "household",
            "person",
            "group",
            "version",
            "room",
        )
        return urlencode({name: self._value(asker) for name in names}).encode()

    def _worded(self, value: Any, asker: Asker) -> Any:  # noqa: ANN401  JSON
        match value:
            case dict():
                return {key: self._worded(one, asker) for key, one in value.items()}
            case list():
                return [self._worded(one, asker) for one in value]
            case str() if self.random.random() < 0.5:
                return self._value(asker)
            case _:
                return value

    def _value(self, asker: Asker) -> str:
        return asker.own if self.random.random() < 0.5 else self.random.choice(self._ids)

    def look(self) -> None:
        """No row of a home holds a word of another one, or was written by somebody else's people."""
        store = self.context.store
        with store.engine.connect() as connection:
            for name, table in ALL_TABLES.tables.items():
                if "household_id" in table.c and name != "place":
                    for row in connection.execute(text(f'SELECT * FROM "{name}"')).mappings():  # noqa: S608  our own names
                        self._judge(name, dict(row))
        for number in range(HOMES):
            if store.version(household_of(number)) is None or self._is_thin(number):
                self.tally.count("homes put back")
                self._settle(number)

    def _judge(self, table: str, row: dict[str, Any]) -> None:
        if table == "question" and not row["household_id"]:
            # Whoever left a group has left its questions there, without a name.
            self._judge_left(row)
            return
        number = next((one for one in range(HOMES) if household_of(one) == row["household_id"]), None)
        held = " ".join(str(value) for value in row.values())
        for word in set(WORD.findall(held)):
            mine = number is not None and int(word[2:4]) == (number % COACHES if word[1] == "c" else number)
            self.tally.expect(mine, f"{word} stands in {table} of {row['household_id']}: {held[:300]}")
        by = row.get("by", "")
        own = {"", *(f"{letter}{number}" for letter in "km")}
        known = re.fullmatch(r"[kmc]\d+", by or "")
        self.tally.expect(not known or by in own, f"{table} of {row['household_id']} was written by {by}")

    def _judge_left(self, row: dict[str, Any]) -> None:
        numbers = [int(word[2:4]) for word in WORD.findall(str(row["text"]))]
        theirs = all(group_of(number % COACHES) == row["group_id"] for number in numbers)
        nobodys = not row["person_id"] and not row["with_name"]
        self.tally.expect(theirs and nobodys, f"a question that was left: {row}")

    def _is_thin(self, number: int) -> bool:
        """Whether those who ask for a home are let in no more, or its level is another one."""
        with self.context.store.reading(household_of(number)) as reading:
            enrolment, members = reading.enrolment(), {one.person for one in reading.members()}
        shown = [self.context.store.shown(hashed(one.secret)) for one in self.askers if one.home == number]
        if enrolment is not None:
            self.levels[number] = enrolment.level
        return enrolment is None or not {f"k{number}", f"m{number}"} <= members or None in shown


def _is_everybodys(template: str) -> bool:
    """Whether an address tells of no household."""
    return template.startswith(
        ("/pair", "/api/pair", "/api/enrol", "/enrol", "/sign-in", "/api/sign-in")
    ) or (
        template
        in {"/healthz", "/manifest.webmanifest", "/sw.js", "/today/offline", "/openapi.json", "/trust"}
        or template.startswith(("/calendar/", "/stop/", "/trust/"))
    )


async def asked(
    app: FastAPI, method: str, path: str, headers: dict[str, str], body: bytes
) -> tuple[int, bytes]:
    """Ask an application without a network; its status and its answer."""
    status, parts, sent = 0, [], False

    async def receive() -> Message:
        nonlocal sent
        if sent:
            await asyncio.sleep(0.2)
            return {"type": "http.disconnect"}
        sent = True
        return {"type": "http.request", "body": body, "more_body": False}

    async def send(message: Message) -> None:
        nonlocal status
        if message["type"] == "http.response.start":
            status = message["status"]
        elif message["type"] == "http.response.body":
            parts.append(message.get("body", b""))

    lines = [(name.encode(), value.encode()) for name, value in headers.items()]
    scope = {
        "type": "http",
        "asgi": {"version": "3.0", "spec_version": "2.3"},
        "http_version": "1.1",
        "method": method,
        "scheme": "http",
        "path": path,
        "raw_path": path.encode(),
        "query_string": b"",
        "root_path": "",
        "headers": [*lines, (b"content-length", str(len(body)).encode())],
        "client": ("127.0.0.1", 1),
        "server": ("127.0.0.1", 80),
    }
    await app(scope, receive, send)
    return status, b"".join(parts)


def _rounds(street: Street, number: int) -> Iterator[int]:
    for count in range(1, number + 1):
        yield count
        if count % LOOK_EVERY == 0 or count == number:
            street.look()


@contextmanager
def silence() -> Iterator[None]:
    """Let nothing be logged: what the service says of each request is not what is looked at here."""
    before = logging.root.manager.disable
    logging.disable(logging.CRITICAL)
    try:
        yield
    finally:
        logging.disable(before)


def attack(attack: Attack) -> None:
    """Ask so often, and look over all rows from time to time."""
    settings = Settings(
        database=f"sqlite:///{attack.folder / 'many.db'}", way="hosted", public_url=f"https://{HOST}"
    )
    app = create_app(settings)
    with closing(app.state.context.store), silence():
        app.state.context = replace(app.state.context, clock=lambda: NOW)
        street = Street(attack, app)

        async def go_on() -> None:
            for _ in _rounds(street, attack.rounds):
                await street.ask()

        asyncio.run(go_on())
        attack.tally.count("routes met", len(street.routes.asked))
        attack.tally.count("routes", len(street.routes.all))


def main(arguments: list[str]) -> int:
    """Carry the attack out."""
    return run("homes", ROUNDS, attack, arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
