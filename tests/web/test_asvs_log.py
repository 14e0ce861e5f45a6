"""OWASP ASVS 5.0.0 V16, what is told of the door and what never is, as docs/security.md says."""

from __future__ import annotations

import io
import logging
import re
from contextlib import contextmanager
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from coach.commands.logs import Lines
from coach.household.devices import hashed
from coach.household.tries import FROM_ONE_ADDRESS
from web.attacked import Attacked, cookie, secret_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from httpx2 import Response

TIME = r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\+00:00"
LINE = re.compile(
    rf"{TIME} (INFO|WARNING|ERROR) coach\.events: "
    r"([a-z-]+), ([A-Z]+|another method) (/[\w/{}.-]*|no route)(: .*)?"
)
NAME = "Plumjam"
DEVICE = "Gooseberry"
QUERY = "Rhubarb"
BREAK = "\r\n2027-01-04T12:00:00+00:00 INFO coach.events: way-in, POST /api/pair: done"


@pytest.fixture(scope="module")
def lived_in(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Attacked, Path]]:
    folder = tmp_path_factory.mktemp("logged")
    house = Attacked(folder)
    yield house, folder
    house.close()


@pytest.fixture
def home(lived_in: tuple[Attacked, Path]) -> Attacked:
    """The house of all these tests, whose door has forgotten what was guessed before."""
    lived_in[0].forget_guesses()
    return lived_in[0]


@contextmanager
def _logged() -> Iterator[io.StringIO]:
    """What the service would write to its error output, from every logger, at the finest level."""
    said = io.StringIO()
    handler, root, events = Lines(said), logging.getLogger(), logging.getLogger("coach.events")
    levels = root.level, events.level
    # What the tests' own client and loop say is none of the service's.
    handler.addFilter(lambda record: not record.name.startswith(("httpx", "asyncio")))
    root.addHandler(handler)
    root.setLevel(logging.DEBUG)
    events.setLevel(logging.DEBUG)
    try:
        yield said
    finally:
        root.removeHandler(handler)
        root.setLevel(levels[0])
        events.setLevel(levels[1])


def _told(said: io.StringIO) -> list[str]:
    """The kind, method, route and outcome of each line."""
    lines = said.getvalue().splitlines()
    assert all(LINE.fullmatch(line) for line in lines), lines
    return [line.split(": ", 1)[1] for line in lines]


def test_whoever_is_let_in_or_turned_away_is_a_line_with_way_outcome_and_route(home: Attacked) -> None:
    code, phone = home.code(), home.phone(30)
    with _logged() as said:
        phone.get("/today")
        phone.post("/api/pair", json={"code": "B" * 8, "name": "Ben"})
        phone.post("/api/pair", json={"code": code, "name": "Ben"})
        home.ben.get("/settings")
        home.ben.put("/api/pace", json={"pace": "gentle"})
        home.ben.post("/api/pairing")
        phone.post("/api/pair", json={"code": code})
        for _ in range(FROM_ONE_ADDRESS):
            phone.post("/api/pair", json={"code": "B" * 8, "name": "Ben"})
    told = _told(said)
    assert told[:7] == [
        "unpaired, GET /today",
        "wrong-code, POST /api/pair",
        "way-in, POST /api/pair: done",
        "not-allowed, GET /settings",
        "not-allowed, PUT /api/pace",
        "way-in, POST /api/pairing: done",
        "wrong-code, POST /api/pair",
    ]
    assert told[-1] == "too-often, POST /api/pair"


def test_the_keeper_can_look_up_who_was_let_in_and_from_where_guesses_came(home: Attacked) -> None:
    home.code()
    home.now += timedelta(minutes=1)
    home.phone(31).post("/api/pair", json={"code": "B" * 8, "name": NAME})
    home.paired(NAME, 32, DEVICE)
    with home.app.state.context.store.people_reading() as reading:
        let_in, made, refused = reading.sign_ins("home", 3)
    assert (let_in.way, let_in.outcome, let_in.name, let_in.address) == (
        "pairing",
        "let in",
        DEVICE,
        "192.168.50.32",
    )
    assert (refused.way, refused.outcome, refused.address) == ("pairing", "wrong code", "192.168.50.31")
    assert refused.person == refused.name == ""
    assert (made.way, made.outcome) == ("pairing", "code made")
    assert let_in.at == refused.at == home.now
    assert let_in.at.utcoffset() == timedelta(0)


def _every_way(home: Attacked) -> tuple[list[Response], set[str]]:
    """Go each way in and out, rightly and wrongly; what was answered, and every secret that was used."""
    answers, used = [], set[str]()

    def ask(number: int, code: str, **more: str) -> Response:
        phone = home.phone(number)
        headers = cookie("CookieOfSomebody") | {"authorization": "Bearer TokenOfSomebody"}
        used.update({code, "CookieOfSomebody", "TokenOfSomebody"})
        sent = {"code": code, "name": NAME, "device": DEVICE} | more
        answers.append(phone.post("/api/pair", json=sent | {"extra": code}))
        answers.append(
            phone.post("/api/pair", params={"code": code, QUERY: QUERY}, json=sent, headers=headers)
        )
        return answers[-1]

    for number, more in enumerate(({}, {"token": "write"})):
        made = home.ana.post("/api/pairing").json()
        used |= {made["code"], made["link"].partition("#")[2]}
        ask(40 + number, "BBBBCCCC", **more)
        let_in = ask(40 + number, made["code"], **more)
        assert let_in.status_code == 201
        used |= (
            {let_in.json()["token"]} if more else {let_in.headers["set-cookie"].split("=")[1].split(";")[0]}
        )
        ask(40 + number, made["code"], **more)
    secret = secret_of(home.ana)
    used.add(secret)
    for path in (
        "/moon",
        "/api/moon",
        "/settings",
        "/today?" + QUERY,
        f"/pair?code={secret}",
        f"/api/x/{secret}",
    ):
        for phone in (home.ana, home.ben, home.phone(44)):
            answers.append(phone.get(path, headers={"authorization": f"Bearer {secret}x"}))
            answers.append(phone.get(path))
    answers += [
        home.ana.request(method, "/api/pairing", headers={"origin": secret}) for method in ("PUT", "POST")
    ]
    return answers, used | {f"{secret}x"}


def test_no_code_token_or_cookie_is_in_the_log_the_database_or_an_answer_after_the_first(
    home: Attacked, lived_in: tuple[Attacked, Path]
) -> None:
    with _logged() as said:
        answers, used = _every_way(home)
    log = said.getvalue()
    assert len(log.splitlines()) > 10
    assert not [secret for secret in used if secret.lower() in log.lower()]
    assert not [word for word in (NAME, DEVICE, QUERY, "192.168.50") if word in log]
    given = {answer.text for answer in answers if answer.status_code == 201}
    others = "\n".join(answer.text for answer in answers if answer.text not in given)
    # The address of a page may stand in what is said of it, so secrets in addresses are not looked for here.
    assert not [secret for secret in used - {secret_of(home.ana)} if secret in others]
    home.app.state.context.store.engine.dispose()
    kept = b"".join(file.read_bytes() for file in lived_in[1].glob("home.db*"))
    assert NAME.encode() in kept, "this would show a secret that was kept"
    assert hashed(secret_of(home.ana)).encode() in kept
    assert not [secret for secret in used if secret.encode() in kept]


@pytest.mark.parametrize("where", ["name", "device", "code", "header", "path", "query", "method"])
def test_a_line_break_makes_no_line_of_its_own_wherever_it_stands(home: Attacked, where: str) -> None:
    sent = {"code": home.code(), "name": NAME, "device": DEVICE}
    phone = home.phone(50)
    with _logged() as said:
        if where in sent:
            phone.post("/api/pair", json=sent | {where: sent[where] + BREAK})
        elif where == "header":
            line = (b"user-agent", b"x" + BREAK.encode())
            phone.post("/api/pair", json={}, headers=[line, (b"referer", line[1]), (b"cookie", line[1])])
        elif where == "path":
            phone.get("/today%0d%0a" + BREAK.strip().replace(" ", "%20"))
        elif where == "query":
            phone.get("/today", params={"said": BREAK})
        else:
            phone.request("GET\n2027", "/today")
    assert len(_told(said)) == 1
    with home.app.state.context.store.people_reading() as reading:
        assert not [one for one in reading.sign_ins("home", 10) if "\n" in one.name or "\r" in one.name]


def test_a_flood_at_the_door_is_counted_and_hides_no_other_kind(home: Attacked) -> None:
    phone = home.phone(60)
    with _logged() as said:
        for _ in range(50):
            phone.get("/today")
        home.paired("Ben", 61)
    told = _told(said)
    assert told.count("unpaired, GET /today") == 20
    assert "way-in, POST /api/pair: done" in told
