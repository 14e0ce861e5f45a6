"""Recovery sheets over the wire: made, used up code by code, and refused."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.household import codes, recovery
from web.markup import read
from web.people.with_passkeys import KeyHouse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from fastapi.testclient import TestClient
    from httpx2 import Response


@pytest.fixture
def house(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Iterator[KeyHouse]:
    """Its hashes are quick, since ten of them are made for every sheet."""
    monkeypatch.setattr(recovery, "code_hash", lambda code: f"hash of {code}")
    found = KeyHouse(tmp_path_factory.mktemp("recovery"))
    yield found
    found.close()


def sheet(by: TestClient) -> list[str]:
    answer = by.post("/api/recovery", json={})
    assert answer.status_code == 201, answer.text
    return list(answer.json()["codes"])


def recover(by: TestClient, code: str, **more: str) -> Response:
    return by.post("/api/sign-in/recovery", json={"code": code, **more})


def program(by: TestClient, code: str, **more: str) -> Response:
    return by.post(
        "/api/sign-in/recovery", json={"code": code, "token": "write", "request_id": "one", **more}
    )


def kind(answer: Response) -> tuple[int, str]:
    return answer.status_code, answer.json()["type"].rpartition("/")[2]


def test_a_sheet_has_ten_codes_that_nobody_guesses_and_that_are_kept_by_a_slow_hash(
    house: KeyHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(recovery, "CODES", 1)
    monkeypatch.setattr(recovery, "code_hash", codes.code_hash)
    [code] = sheet(house.ana)
    plain = code.replace("-", "")
    assert (recovery.LETTERS, len(plain), len(codes.ALPHABET) ** 16 > 2**64) == (20, 20, True)
    with house.app.state.context.store.people_reading() as reading:
        person = reading.recovering(codes.code_hash(plain))
        assert (person, reading.recovering(plain)) == (reading.members("home")[0].person, None)
    assert recover(house.secure(number=9), code.lower()).status_code == 201
    written = b"".join(one.read_bytes() for one in house.file.parent.glob("home.db*"))
    assert plain[4:].encode() not in written


def test_each_code_lets_in_once_and_the_last_one_ends_the_sheet(house: KeyHouse) -> None:
    found = sheet(house.ana)
    assert (len(found), len(set(found))) == (10, 10)
    phone, left = house.secure(number=40), []
    for code in found:
        assert recover(phone, code, device="new phone").status_code == 201
        left.append((phone.get("/api/passkeys").json()["sheet"] or {"left": 0})["left"])
    assert left == list(range(9, -1, -1))
    told = [outcome for way, outcome in house.door() if way == "recovery"]
    assert told[:2] == ["let in by the last code", "let in"]
    assert [kind(recover(house.secure(number=41), code)) for code in found[:2]] == [(403, "wrong-code")] * 2


def test_a_new_sheet_ends_the_former_and_another_persons_stays(house: KeyHouse) -> None:
    ben = house.secure("Ben", 8)
    people = {one["name"]: one["person"] for one in house.ana.get("/api/people").json()["people"]}
    house.ana.patch(f"/api/people/{people['Ben']}", json={"role": "keeper"})
    his, former = sheet(ben), sheet(house.ana)
    newer = sheet(house.ana)
    assert kind(recover(house.secure(number=9), former[0])) == (403, "wrong-code")
    assert recover(house.secure(number=9), newer[0]).status_code == 201
    assert recover(house.secure(number=10), his[0]).json()["person"] == people["Ben"]


def test_a_member_who_is_no_keeper_prints_none(house: KeyHouse) -> None:
    ben = house.secure("Ben", 8)
    assert kind(ben.post("/api/recovery", json={})) == (403, "not-allowed")
    assert ben.get("/recovery").status_code == 403


def test_one_who_was_taken_out_comes_in_by_none(house: KeyHouse) -> None:
    ben = house.secure("Ben", 8)
    people = {one["name"]: one["person"] for one in house.ana.get("/api/people").json()["people"]}
    house.ana.patch(f"/api/people/{people['Ben']}", json={"role": "keeper"})
    his = sheet(ben)
    house.ana.delete(f"/api/people/{people['Ben']}")
    assert kind(recover(house.secure(number=9), his[0])) == (403, "wrong-code")


def test_five_wrong_codes_of_a_sheet_make_it_wait_and_no_other_sheet(house: KeyHouse) -> None:
    found = sheet(house.ana)
    wrong = found[0][:-1] + ("B" if found[0][-1] != "B" else "C")
    answers = [recover(house.secure(number=60 + number), wrong).status_code for number in range(5)]
    assert answers == [403] * 5
    assert kind(recover(house.secure(number=70), found[0])) == (429, "too-often")
    house.later(minutes=10)
    assert recover(house.secure(number=70), found[0]).status_code == 201


def test_a_sheet_waits_the_second_time_too_whatever_else_is_tried_meanwhile(house: KeyHouse) -> None:
    found = sheet(house.ana)
    wrong, other = f"{found[0][:-1]}{'B' if found[0][-1] != 'B' else 'C'}", "BCDF-BCDF-BCDF-BCDF-BCDF"
    recover(house.secure(number=50), other)
    house.later(minutes=5)
    first = [recover(house.secure(number=60 + number), wrong).status_code for number in range(5)]
    house.later(minutes=6)
    recover(house.secure(number=51), other)
    house.later(minutes=5)
    second = [recover(house.secure(number=70 + number), wrong).status_code for number in range(5)]
    assert (first, second) == ([403] * 5, [403] * 5)
    assert kind(recover(house.secure(number=80), found[0])) == (429, "too-often")


def test_ten_wrong_codes_from_one_address_make_it_wait(house: KeyHouse) -> None:
    stranger, found = house.secure(number=66), sheet(house.ana)
    answers = [recover(stranger, "BCDF-BCDF-BCDF-BCDF-BCDF").status_code for _ in range(10)]
    assert answers == [403] * 10
    assert kind(recover(stranger, found[0])) == (429, "too-often")
    assert recover(house.secure(number=67), found[0]).status_code == 201


def test_no_slow_hash_is_made_for_a_sheet_that_there_is_not(
    house: KeyHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheet(house.ana)
    monkeypatch.setattr(recovery, "code_hash", None)
    assert kind(recover(house.secure(number=9), "BCDF-BCDF-BCDF-BCDF-BCDF")) == (403, "wrong-code")


def test_a_code_that_is_sent_again_under_its_name_lets_in_once(house: KeyHouse) -> None:
    found = sheet(house.ana)
    first = program(house.secure(number=9), found[0])
    again = program(house.secure(number=9), found[0])
    assert (first.status_code, again.content) == (201, first.content)
    other = program(house.secure(number=9), found[0], device="wall")
    assert kind(other) == (422, "asked-otherwise")
    assert house.ana.get("/api/passkeys").json()["sheet"]["left"] == 9


def test_a_sheet_is_said_again_to_the_device_that_asked_and_made_once(house: KeyHouse) -> None:
    first = house.ana.post("/api/recovery", json={"request_id": "one"})
    again = house.ana.post("/api/recovery", json={"request_id": "one"})
    assert (first.status_code, again.content) == (201, first.content)
    assert recover(house.secure(number=9), first.json()["codes"][0]).status_code == 201


def test_without_a_script_a_code_opens_the_page_of_passkeys(house: KeyHouse) -> None:
    [code, *_] = sheet(house.ana)
    phone = house.secure(number=9)
    form = read(phone.get("/sign-in").text).one("form", method="post")
    sent = {one.attributes["name"]: one.attributes["value"] for one in form.every("input", type="hidden")}
    answer = phone.post("/sign-in", data=sent | {"code": code, "device": "Phone"})
    assert (answer.status_code, answer.headers["location"]) == (303, "/passkeys?said=recovered")
    # Two taps on the button are two answers, and both let in the same device.
    again = phone.post("/sign-in", data=sent | {"code": code, "device": "Phone"})
    assert again.headers["location"] == "/passkeys?said=recovered"
    assert "9 of its codes are left" in " ".join(phone.get("/passkeys").text.split())


def test_a_wrong_code_is_asked_for_again_with_what_is_wrong(house: KeyHouse) -> None:
    refused = house.secure(number=9).post("/sign-in", data={"code": "nothing"})
    assert (refused.status_code, "does not fit" in refused.text) == (403, True)


def test_the_page_makes_a_sheet_shows_it_once_and_ends_it(house: KeyHouse) -> None:
    shown = house.ana.post("/recovery", data={})
    letters = [one.text for one in read(shown.text).one("ol", "codes").every("code")]
    assert len(letters) == 10
    assert letters[0] not in house.ana.get("/recovery").text
    assert house.ana.post("/recovery/end", data={}).headers["location"] == "/recovery?said=sheet-ended"
    assert kind(recover(house.secure(number=9), letters[0])) == (403, "wrong-code")


def test_no_sheet_is_made_by_one_who_came_in_a_while_ago(house: KeyHouse) -> None:
    house.later(minutes=15)
    assert house.ana.post("/recovery", data={}).status_code == 403
    assert "/sign-in?after=recovery" in house.ana.get("/recovery").text
