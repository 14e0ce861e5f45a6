"""JSON, addresses and forms are taken as they are written, or refused in words: nothing is guessed at."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any

import pytest

from coach.web.access import is_for_many
from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator

PROBLEM = "application/problem+json"
JSON = {"content-type": "application/json"}
UNREADABLE = {
    "Latin-1": b'{"title": "caf\xe9"}',
    "UTF-16": '{"title": "X"}'.encode("utf-16"),
    "UTF-16 without a mark": '{"title": "X"}'.encode("utf-16-le"),
    "UTF-32": '{"title": "X"}'.encode("utf-32"),
    "a byte order mark": b'\xef\xbb\xbf{"title": "X"}',
    "half a character": rb'{"title": "\ud800"}',
    "half a character as a key": rb'{"title": "X", "\udc00": 1}',
    "NaN": b'{"title": "X", "minutes": NaN}',
    "Infinity": b'{"title": "X", "minutes": -Infinity}',
    "5,000 digits": b'{"title": "X", "minutes": ' + b"1" * 5000 + b"}",
    "a huge exponent": b'{"title": "X", "minutes": 1e999}',
    "10,000 lists": b"[" * 10_000 + b"]" * 10_000,
    "10,000 objects": b'{"title":' * 5_000 + b"1" + b"}" * 5_000,
    "a key twice": b'{"title": "X", "title": "Y"}',
    "a key twice, within": b'{"title": "X", "settles": {"kept": 2, "kept": 2, "of": 3}}',
    "something after it": b'{"title": "X"} {}',
    "a comma too many": b'{"title": "X",}',
    "half of it": b'{"title": "X"',
    "nothing but space": b"  ",
}


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A house that every test here leaves as it is, since it refuses what it is asked."""
    house = House(tmp_path_factory.mktemp("strict"))
    house.start()
    assert house.http.post("/api/areas/set-up", json={"rooms": ["Kitchen", "Bath"]}).status_code == 201
    yield house
    house.close()


def _there(house: House) -> dict[str, Any]:
    """The addresses that are there where one household lives, with what their methods take."""
    paths: dict[str, Any] = house.http.get("/openapi.json").json()["paths"]
    return {path: methods for path, methods in paths.items() if not is_for_many(path)}


def _with_bodies(house: House) -> Iterator[tuple[str, str]]:
    """Every method and path that takes JSON, with something in the place of its parameters."""
    for path, methods in _there(house).items():
        for method, endpoint in methods.items():
            if "application/json" in endpoint.get("requestBody", {}).get("content", {}):
                filled = path.format_map(
                    _Filled(date=str(house.today), todo="2027-01-04-1", due="2027-01-04-1")
                )
                yield method.upper(), filled.format(number=1)


class _Filled(dict[str, Any]):
    def __missing__(self, key: str) -> str:
        return "{number}" if key == "number" else "bed-made"


@pytest.mark.parametrize("name", UNREADABLE)
def test_what_is_no_json_has_the_documented_answer_everywhere(house: House, name: str) -> None:
    before = house.app.state.context.store.version("home")
    for method, path in _with_bodies(house):
        answer = house.http.request(method, path, content=UNREADABLE[name], headers=JSON)
        assert (answer.status_code, answer.headers["content-type"]) == (422, PROBLEM), (method, path)
        assert answer.json()["type"] == "/problems/malformed"
    assert house.app.state.context.store.version("home") == before


@pytest.mark.parametrize(
    "content_type", [None, "", "text/plain", "text/json", "json", "application/xml", "x/\xff"]
)
def test_json_that_is_not_declared_as_such_has_the_documented_answer(
    house: House, content_type: str | None
) -> None:
    headers = [] if content_type is None else [(b"content-type", content_type.encode("latin-1"))]
    for method, path in _with_bodies(house):
        answer = house.http.request(method, path, content=b"{}", headers=headers)
        assert (answer.status_code, answer.headers["content-type"]) == (422, PROBLEM), (method, path)


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b'{"title": "\xff"}', "From here on this is not UTF-8"),
        (b"\xef\xbb\xbf{}", "without a byte order mark"),
        (b"[" * 10_000, "nested too deeply"),
        (b'{"minutes": NaN}', "NaN and Infinity are no numbers in JSON"),
        (b'{"minutes": ' + b"1" * 5000 + b"}", "too many digits"),
        (b'{"title": "X", "title": "X"}', "has a key twice"),
        (rb'{"title": "\ud800"}', "half of a character"),
        (b'{"title" "X"}', "From here on this is no JSON"),
    ],
)
def test_what_is_wrong_with_it_is_said(house: House, content: bytes, said: str) -> None:
    answer = house.http.post("/api/steps", content=content, headers=JSON)
    assert said in answer.json()["detail"]


NO_DATES = [
    "1804636800",
    "0",
    "20270104",
    "2027-W01-1",
    "2027-01-04T00:00:00",
    "2027-01-04T00:00:00Z",
    "27-01-04",
]
NO_DATES += [
    " 2027-01-04",
    "2027-1-4",
    "2027-02-30",
    "\u0662\u0660\u0662\u0667-01-04",
    "+2027-01-04",
    "today",
]


@pytest.mark.parametrize("text", NO_DATES)
def test_a_date_is_written_one_way_in_addresses(house: House, text: str) -> None:
    for method, path in _with_dates(house):
        address = path.format_map(_Filled(date=text, number=1, todo="2027-01-04-1", due="2027-01-04-1"))
        answer = house.http.request(method, address.format(number=1), json={})
        assert answer.status_code == 422, (method, path)
    for query in ("/api/jobs/out-and-back/timer?on=", "/api/jobs/out-and-back/ticks/1?on="):
        assert house.http.delete(f"{query}{text.replace('+', '%2B')}").status_code == 422
    assert house.http.get("/areas/week", params={"on": text}).status_code == 422


def _with_dates(house: House) -> list[tuple[str, str]]:
    paths = _there(house)
    found = [(method, path) for path, methods in paths.items() for method in methods if "{date}" in path]
    pages = [
        ("get", "/days/{date}"),
        ("post", "/days/{date}/marks/bed-made"),
        ("post", "/dinner/{date}/dish"),
    ]
    pages += [("post", "/dinner/{date}/frozen/1"), ("post", "/jobs/out-and-back/marks/{date}")]
    return [*found, *pages, ("post", "/desk/dues/2027-01-04-1/seen-to/{date}")]


@pytest.mark.parametrize("on", [*NO_DATES, 1804636800, 1804636800.0, 0, True])
def test_a_date_is_written_one_way_in_bodies(house: House, on: object) -> None:
    bodies = [
        ("/api/pause", {"from": on}),
        ("/api/pause", {"until": on}),
        ("/api/resume", {"from": on}),
        ("/api/dues", {"name": "Rent", "on": on}),
        ("/api/quick", {"kind": "due", "title": "Rent", "on": on}),
        ("/api/jobs/out-and-back/move", {"on": on, "to": "2027-01-05"}),
        ("/api/balance", {"moves": {"out-and-back": on}}),
        ("/api/rotation/skip", {"week": on}),
        ("/api/rotation/swap", {"week": "2027-01-04", "other": on}),
    ]
    for path, body in bodies:
        answer = house.http.post(path, json=body)
        assert answer.status_code == 422, path
        assert "Write a date as YYYY-MM-DD" in answer.json()["detail"]


@pytest.mark.parametrize("on", NO_DATES)
def test_a_date_is_written_one_way_in_forms(house: House, on: str) -> None:
    forms = [
        ("/away", {"since": on}),
        ("/away/call-off", {"since": on}),
        ("/jobs/out-and-back/move", {"on": on, "to": "2027-01-05"}),
        ("/areas/weeks/skip", {"week": on}),
        ("/areas/weeks/swap", {"week": "2027-01-04", "other": on}),
        ("/areas/week/tasks/x", {"on": on, "mark": "done"}),
        ("/today/area/x", {"on": on, "mark": "done"}),
    ]
    for path, form in forms:
        assert house.http.post(path, data=form).status_code == 422, path


@pytest.mark.parametrize("number", [False, True, "5", 5.5, 1e300, [], {}, "", "five"])
def test_only_a_whole_number_is_a_number(house: House, number: object) -> None:
    asked = [
        ("PUT", "/api/available", {"minutes": {"MO": number}}),
        ("POST", "/api/steps", {"title": "X", "minutes": number}),
        ("POST", "/api/steps", {"title": "X", "settles": {"kept": number, "of": 3}}),
        ("POST", "/api/dues", {"name": "X", "on": "2027-02-01", "needs": number}),
        ("PUT", "/api/dinners/2027-01-05", {"dish": "X", "cooking": number}),
        ("PUT", "/api/shopping", {"key": "x", "tick": None, "days": number}),
        ("POST", "/api/shopping/lines", {"lines": ["x"], "days": number}),
        ("POST", "/api/areas/proposal", {"rooms": ["Kitchen"], "areas": number}),
        ("PATCH", "/api/areas", {"minutes_a_week": number}),
        ("POST", "/api/rotation/declutter", {"weeks": number}),
        ("PUT", "/api/jobs/out-and-back/lines", {"lines": [], "stop_after": number}),
    ]
    for method, path, body in asked:
        answer = house.http.request(method, path, json=body)
        assert (answer.status_code, answer.json()["type"]) == (422, "/problems/malformed"), path
        assert "Write a whole number." in answer.json()["detail"]


@pytest.mark.parametrize(
    "time",
    ["24:00", "9:05", "09:5", "09:05:00", " 09:05", "09.05", "", 905, True, "\u0660\u0669:\u0660\u0665"],
)
def test_only_a_time_written_as_hours_and_minutes_is_a_time(house: House, time: object) -> None:
    due = {"name": "Dentist", "on": "2027-02-01", "time": time}
    quick = {"kind": "due", "title": "Dentist", "on": "2027-02-01", "time": time}
    for path, body in (("/api/dues", due), ("/api/quick", quick)):
        answer = house.http.post(path, json=body)
        assert (answer.status_code, answer.json()["detail"]) == (
            422,
            "body/time: Write a time of day as HH:MM, such as 15:30.",
        )


@pytest.mark.parametrize("number", [b"1e400", b"-1e400"])
def test_a_number_that_is_too_great_to_be_one_is_refused_in_our_words(house: House, number: bytes) -> None:
    content = b'{"minutes": {"MO": ' + number + b"}}"
    answer = house.http.put("/api/available", content=content, headers=JSON)
    assert (answer.status_code, answer.json()["detail"]) == (422, "body/minutes/MO: Write a whole number.")


def test_a_whole_number_may_be_written_with_a_point(house: House) -> None:
    answer = house.http.put("/api/available", content=b'{"minutes": {"MO": 5.0}}', headers=JSON)
    assert answer.json()["minutes"]["MO"] == 5


@pytest.mark.parametrize("text", ["5.0", " 5", "+5", "1_0", "\u0665", "", "5e0", "0x5", "true"])
def test_a_number_in_an_address_is_written_in_digits(house: House, text: str) -> None:
    assert house.http.get("/api/shopping", params={"days": text}).status_code == 422
    assert house.http.get("/api/rotation", params={"weeks": text}).status_code == 422
    if text:
        path = f"/api/dinners/2027-01-05/frozen/{text}"
        assert house.http.put(path, json={"left": True}).status_code == 422


@pytest.mark.parametrize("word", ["yes", "1", 1, 0, "true", "on", None, []])
def test_only_true_and_false_are_yes_and_no(house: House, word: object) -> None:
    assert house.http.post("/api/steps", json={"title": "X", "waits": word}).status_code == 422
    path = "/api/dinners/2027-01-05/frozen/1"
    assert house.http.put(path, json={"left": word}).status_code == 422


@pytest.mark.parametrize(
    "query",
    ["preview=true&preview=false", "preview=false&preview=true", "preview=yes", "preview=1", "preview="],
)
def test_a_preview_that_is_not_clear_imports_nothing(house: House, query: str) -> None:
    log = house.http.get("/api/log.csv").text
    before = house.app.state.context.store.version("home")
    answer = house.http.post(f"/api/log.csv?{query}", content=log, headers={"content-type": "text/csv"})
    assert (answer.status_code, answer.json()["type"]) == (422, "/problems/malformed")
    assert house.app.state.context.store.version("home") == before


@pytest.mark.parametrize("path", ["/api/shopping?days=3&days=4", "/api/load?week=2027-W01&week=2027-W01"])
def test_a_parameter_that_is_given_twice_is_refused(house: House, path: str) -> None:
    answer = house.http.get(path)
    assert answer.status_code == 422
    assert "given more than once" in answer.json()["detail"]


BREAKS = ["a\nb", "a\r\nb", "a\x0bb", "a\x85b", "a\u2028b", "a\u2029b", "a\x00b", "a\x1bb", "a\x7fb"]


@pytest.mark.parametrize("text", BREAKS)
def test_a_name_stands_on_one_line_and_can_be_shown(house: House, text: str) -> None:
    area = house.http.get("/api/areas").json()["areas"][0]["area"]
    frozen = {"name": text, "weight": "1 kg"}
    bodies = [
        ("POST", "/api/dues", {"name": text, "on": "2027-02-01"}),
        ("POST", "/api/dues", {"name": "X", "on": "2027-02-01", "amount": text}),
        ("POST", "/api/steps", {"title": text}),
        ("POST", "/api/steps", {"title": "X", "cue": text}),
        ("POST", "/api/steps", {"title": "X", "small": text}),
        ("PATCH", "/api/steps/bed-made", {"title": text}),
        ("POST", "/api/areas", {"name": text}),
        ("POST", "/api/areas", {"name": "X", "rooms": [text]}),
        ("POST", "/api/areas/proposal", {"rooms": [text]}),
        ("PATCH", f"/api/areas/{area}", {"name": text}),
        ("POST", f"/api/areas/{area}/rooms", {"room": text}),
        ("POST", f"/api/areas/{area}/tasks", {"title": text, "minutes": 5}),
        ("POST", f"/api/areas/{area}/tasks", {"title": "X", "minutes": 5, "every_days": 9, "source": text}),
        ("POST", f"/api/areas/{area}/split", {"name": text, "rooms": []}),
        ("PUT", "/api/dinners/2027-01-05", {"dish": text}),
        ("PUT", "/api/dinners/2027-01-05", {"dish": "X", "frozen": [frozen]}),
        ("POST", "/api/favourites", {"dish": text}),
        ("POST", "/api/to-dos", {"titles": [text]}),
        ("POST", "/api/to-dos", {"titles": ["X"], "kind": "errand", "place": text}),
        ("POST", "/api/quick", {"kind": "to-do", "title": text}),
        ("PUT", "/api/jobs/out-and-back/lines", {"lines": [{"title": text, "minutes": 5}]}),
    ]
    for method, path, body in bodies:
        answer = house.http.request(method, path, content=json.dumps(body), headers=JSON)
        assert (answer.status_code, answer.json()["type"]) == (422, "/problems/malformed"), (path, body)


def test_an_amount_that_cannot_be_shown_is_refused_on_the_page_too(house: House) -> None:
    form = {"name": "Rent", "on": "2027-02-01", "amount": "5\x00"}
    answer = house.http.post("/desk/dues", data=form)
    assert answer.status_code == 422
    assert "cannot be shown" in answer.text
