"""Passkeys over the wire, with a device in software: added, signed in with, and refused."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from coach.household import passkeys
from web.people.authenticator import Device
from web.people.with_passkeys import NAME, ORIGIN, KeyHouse, added, asked, sign_in

if TYPE_CHECKING:
    from collections.abc import Iterator

    from httpx2 import Response


@pytest.fixture
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[KeyHouse]:
    found = KeyHouse(tmp_path_factory.mktemp("passkeys"))
    yield found
    found.close()


def kind(answer: Response) -> tuple[int, str]:
    return answer.status_code, answer.json()["type"].rpartition("/")[2]


def test_a_browser_is_asked_for_one_that_it_keeps_and_that_a_person_unlocks(house: KeyHouse) -> None:
    added(house.ana)
    options = house.ana.post("/api/passkeys/begin", json={}).json()["publicKey"]
    person = house.ana.get("/api/people").json()["people"][0]["person"]
    assert options["rp"] == {"id": NAME, "name": "Steading"}
    assert options["attestation"] == "none"
    selection = options["authenticatorSelection"]
    assert (selection["residentKey"], selection["userVerification"]) == ("required", "required")
    assert [one["id"] for one in options["excludeCredentials"]] == [_ids(house)[0]]
    device = Device(ORIGIN)
    device.create(options)
    [(_, handle)] = device.keys.values()
    assert handle.decode() == person
    request = asked(house.secure())
    assert (request["rpId"], request["userVerification"], request["timeout"]) == (NAME, "required", 300_000)


def _ids(house: KeyHouse) -> list[str]:
    return [one["id"] for one in house.ana.get("/api/passkeys").json()["passkeys"]]


def test_whoever_has_one_signs_in_anew_on_any_device_and_the_door_says_so(house: KeyHouse) -> None:
    device = added(house.ana)
    house.later(days=1)
    phone = house.secure(number=9)
    answer = sign_in(phone, device)
    assert (answer.status_code, answer.json()["household"]) == (201, "home")
    assert phone.get("/api/today").status_code == 200
    [shown] = phone.get("/api/passkeys").json()["passkeys"]
    assert (shown["name"], shown["last_used"]) == ("blue phone", "2027-01-05T12:00:00Z")
    assert house.door()[:2] == [("passkey", "let in"), ("passkey", "added")]
    assert [one["name"] for one in phone.get("/api/devices").json()["devices"]] == ["new phone", "phone"]


def test_the_same_answer_lets_nobody_in_twice(house: KeyHouse) -> None:
    device = added(house.ana)
    body = {"answer": device.get(asked(house.secure()))}
    assert house.secure(number=9).post("/api/sign-in", json=body).status_code == 201
    again = house.secure(number=10).post("/api/sign-in", json=body)
    assert kind(again) == (403, "wrong-passkey")
    assert "set-cookie" not in again.headers
    assert house.door()[0] == ("passkey", "wrong code")


def test_an_answer_that_is_sent_again_under_its_name_lets_in_once(house: KeyHouse) -> None:
    device = added(house.ana)
    body = {"answer": device.get(asked(house.secure())), "request_id": "one"}
    first = house.secure(number=9).post("/api/sign-in", json=body)
    again = house.secure(number=9).post("/api/sign-in", json=body)
    assert (first.status_code, again.headers["set-cookie"]) == (201, first.headers["set-cookie"])
    other = house.secure(number=9).post("/api/sign-in", json=body | {"device": "wall"})
    assert kind(other) == (422, "asked-otherwise")


def test_an_answer_for_adding_is_taken_once_and_from_the_one_who_was_asked(house: KeyHouse) -> None:
    device, ben = Device(ORIGIN), house.secure("Ben", 8)
    answer = device.create(house.ana.post("/api/passkeys/begin", json={}).json()["publicKey"])
    assert kind(ben.post("/api/passkeys", json={"answer": answer})) == (403, "wrong-passkey")
    assert kind(house.ana.post("/api/passkeys", json={"answer": answer})) == (403, "wrong-passkey")
    assert (_ids(house), ben.get("/api/passkeys").json()["passkeys"]) == ([], [])


def test_an_answer_after_five_minutes_comes_too_late(house: KeyHouse) -> None:
    device = added(house.ana)
    options = asked(house.secure())
    house.later(minutes=5)
    late = house.secure().post("/api/sign-in", json={"answer": device.get(options)})
    assert kind(late) == (403, "wrong-passkey")


WRONG: dict[str, dict[str, object]] = {
    "another site": {"origin": "https://steading.example"},
    "another port": {"origin": f"https://{NAME}"},
    "plain http": {"origin": f"http://{NAME}:8443"},
    "another name": {"rp_id": "steading.local"},
    "nobody unlocked it": {"verifies": False},
}


@pytest.mark.parametrize("wrong", WRONG)
def test_what_was_signed_elsewhere_or_unasked_lets_nobody_in_and_is_not_added(
    house: KeyHouse, wrong: str
) -> None:
    device = added(house.ana)
    for name, value in WRONG[wrong].items():
        setattr(device, name, value)
    assert kind(sign_in(house.secure(), device)) == (403, "wrong-passkey")
    options = house.ana.post("/api/passkeys/begin", json={}).json()["publicKey"]
    refused = house.ana.post("/api/passkeys", json={"answer": device.create(options)})
    assert kind(refused) == (403, "wrong-passkey")
    assert len(_ids(house)) == 1


def test_another_key_under_somebodys_credential_lets_nobody_in(house: KeyHouse) -> None:
    device, other = added(house.ana), Device(ORIGIN)
    [credential] = device.keys
    other.create({"rp": {"id": NAME}, "user": {"id": "YW5h"}, "challenge": "eA"})
    other.keys = {credential: next(iter(other.keys.values()))}
    assert kind(sign_in(house.secure(), other)) == (403, "wrong-passkey")


def test_a_passkey_that_says_it_is_somebody_elses_lets_nobody_in(house: KeyHouse) -> None:
    device = added(house.ana)
    [(credential, (key, _))] = device.keys.items()
    device.keys[credential] = key, b"somebody-else"
    assert kind(sign_in(house.secure(), device)) == (403, "wrong-passkey")


def test_a_counter_grows_or_stays_nothing_and_one_that_goes_back_is_refused_and_told(
    house: KeyHouse,
) -> None:
    device = added(house.ana, Device(ORIGIN, counter=4))
    assert sign_in(house.secure(number=9), device).status_code == 201
    device.counter = 4
    refused = sign_in(house.secure(number=10), device)
    assert kind(refused) == (403, "wrong-passkey")
    assert "signed less often" in refused.json()["detail"]
    assert house.door()[0] == ("passkey", "refused: its counter went back")
    device.counter = None
    assert kind(sign_in(house.secure(number=10), device)) == (403, "wrong-passkey")


def test_one_that_does_not_count_signs_in_as_often_as_it_likes(house: KeyHouse) -> None:
    device = added(house.ana)
    assert [sign_in(house.secure(number=9), device).status_code for _ in range(3)] == [201] * 3


def test_a_removed_one_signs_nobody_in_and_the_last_goes_only_when_that_is_said(house: KeyHouse) -> None:
    device = added(house.ana)
    [passkey] = _ids(house)
    assert kind(house.ana.delete(f"/api/passkeys/{passkey}")) == (409, "not-editable")
    ben = house.secure("Ben", 8)
    assert kind(ben.delete(f"/api/passkeys/{passkey}?last=true")) == (404, "unknown")
    gone = house.ana.delete(f"/api/passkeys/{passkey}?last=true")
    assert (gone.status_code, gone.json()["passkeys"]) == (200, [])
    assert kind(sign_in(house.secure(), device)) == (403, "wrong-passkey")
    assert house.ana.get("/api/today").status_code == 200


def test_one_of_two_goes_without_more_words_and_so_does_one_beside_a_sheet(house: KeyHouse) -> None:
    for _ in range(2):
        added(house.ana)
    first, second = _ids(house)
    assert house.ana.delete(f"/api/passkeys/{first}").status_code == 200
    house.ana.post("/api/recovery", json={})
    assert house.ana.delete(f"/api/passkeys/{second}").status_code == 200


def test_it_is_called_something_else_by_the_one_whose_it_is(house: KeyHouse) -> None:
    added(house.ana)
    [passkey] = _ids(house)
    ben = house.secure("Ben", 8)
    assert kind(ben.patch(f"/api/passkeys/{passkey}", json={"name": "mine"})) == (404, "unknown")
    assert kind(house.ana.patch(f"/api/passkeys/{passkey}", json={"name": " "})) == (422, "malformed")
    named = house.ana.patch(f"/api/passkeys/{passkey}", json={"name": "old phone"}).json()
    assert [one["name"] for one in named["passkeys"]] == ["old phone"]


def test_after_a_quarter_of_an_hour_it_has_to_be_confirmed_and_signing_in_does(house: KeyHouse) -> None:
    device = added(house.ana)
    [passkey] = _ids(house)
    house.later(minutes=15)
    assert house.ana.get("/api/passkeys").json()["confirmed"] is False
    for method, address in (
        ("POST", "/api/passkeys/begin"),
        ("DELETE", f"/api/passkeys/{passkey}"),
        ("POST", "/api/recovery"),
    ):
        assert kind(house.ana.request(method, address)) == (403, "confirm-first"), address
    before = house.ana.get("/api/devices").json()["devices"]
    confirmed = house.ana.post("/api/sign-in", json={"answer": device.get(asked(house.ana))})
    assert confirmed.status_code == 201
    after = house.ana.get("/api/devices").json()["devices"]
    assert [one["name"] for one in after] == [one["name"] for one in before]
    assert after[0]["id"] != before[0]["id"]
    assert house.ana.post("/api/passkeys/begin", json={}).status_code == 201


def test_a_program_and_the_machine_itself_add_none(house: KeyHouse) -> None:
    token = house.ana.post("/api/tokens", json={"name": "wall", "scope": "write"}).json()["token"]
    program = house.secure()
    program.headers["authorization"] = f"Bearer {token}"
    assert kind(program.post("/api/passkeys/begin", json={})) == (403, "not-allowed")
    assert kind(house.http.post("/api/passkeys/begin", json={})) == (409, "not-editable")


def test_where_no_passkey_can_be_the_page_says_why_and_nothing_is_asked_for(house: KeyHouse) -> None:
    by_address = house.phone(9, "https://192.168.50.1:8443")
    assert kind(by_address.post("/api/sign-in/begin")) == (409, "not-editable")
    page = by_address.get("/sign-in").text
    assert "https://steading.local:8443" in page
    assert "passkeys.js" not in page
    house.app.state.network = None
    assert "coach serve --home --tls" in house.phone(9).get("/sign-in").text


def test_under_its_other_name_it_is_asked_for_under_that_name(house: KeyHouse) -> None:
    by_other = house.phone(9, "https://steading.local:8443")
    assert asked(by_other)["rpId"] == "steading.local"


def test_too_many_wrong_answers_from_one_address_have_to_wait(house: KeyHouse) -> None:
    device = added(house.ana)
    device.verifies = False
    stranger = house.secure(number=66)
    assert {sign_in(stranger, device).status_code for _ in range(10)} == {403}
    assert kind(stranger.post("/api/sign-in/begin")) == (429, "too-often")
    device.verifies = True
    assert sign_in(house.secure(number=9), device).status_code == 201


def test_a_device_is_asked_for_one_so_often_from_one_address_and_no_more(house: KeyHouse) -> None:
    stranger = house.secure(number=66)
    answers = [stranger.post("/api/sign-in/begin").status_code for _ in range(61)]
    assert answers == [201] * 60 + [429]
    assert house.secure(number=67).post("/api/sign-in/begin").status_code == 201


def test_one_who_adds_passkeys_without_end_keeps_nobody_from_signing_in(
    house: KeyHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Only so many answers are waited for, and the oldest make room."""
    monkeypatch.setattr(passkeys, "MOST_ASKED", 70)
    device, phone = added(house.ana), house.secure(number=9)
    options = asked(phone)
    answers = [house.ana.post("/api/passkeys/begin", json={}).status_code for _ in range(80)]
    assert (answers[0], answers[-1]) == (201, 429)
    assert phone.post("/api/sign-in", json={"answer": device.get(options)}).status_code == 201


JUNK: tuple[dict[str, object], ...] = (
    {},
    {"id": "x"},
    {"id": 7, "response": {"clientDataJSON": "e30"}},
    {"id": "x", "response": {"clientDataJSON": "!"}},
    {"id": "x", "response": []},
)


@pytest.mark.parametrize("junk", JUNK)
def test_what_is_no_answer_is_refused_in_words(house: KeyHouse, junk: object) -> None:
    assert kind(house.secure().post("/api/sign-in", json={"answer": junk})) == (422, "malformed")
    assert kind(house.ana.post("/api/passkeys", json={"answer": junk})) == (422, "malformed")


def test_an_answer_in_pieces_is_refused_whatever_is_missing(house: KeyHouse) -> None:
    device = added(house.ana)
    for part in ("authenticatorData", "signature"):
        for broken in ("", "AA", None):
            answer = device.get(asked(house.secure(number=20)))
            answer["response"][part] = broken
            found = house.secure(number=21).post("/api/sign-in", json={"answer": answer})
            assert kind(found)[1] in {"wrong-passkey", "too-often"}


def test_whether_somebody_has_one_can_be_asked_for_a_group(house: KeyHouse) -> None:
    person = house.ana.get("/api/people").json()["people"][0]["person"]
    store = house.app.state.context.store
    with store.people_reading() as reading:
        assert not passkeys.has_passkey(reading, person)
    added(house.ana)
    with store.people_reading() as reading:
        assert passkeys.has_passkey(reading, person)
