"""The pages of pairing, devices and people: what they ask, what they show, and what they leave out."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from web.at_home import HomeHouse
from web.forms import see
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from httpx2 import Response
    from starlette.testclient import TestClient

PHONE = {"user-agent": "Mozilla/5.0 (Linux; Android 16) AppleWebKit/537.36 Mobile"}


@pytest.fixture
def home(tmp_path: Path) -> Iterator[HomeHouse]:
    house = HomeHouse(tmp_path)
    house.start()
    yield house
    house.close()


def hidden(answer: Response) -> dict[str, str]:
    """What the first form of a page carries unseen."""
    form = next(read(answer.text).every("form", action="/pair"))
    inputs = form.every("input", type="hidden")
    return {one.attributes["name"]: one.attributes["value"] for one in inputs}


def choices(answer: Response) -> dict[str, str]:
    """Whom the page offers to be: names, and the keys that a tap sends."""
    buttons = [one for one in read(answer.text).every("button") if one.attributes.get("name") == "person"]
    return {one.text: one.attributes["value"] for one in buttons}


def scanned(phone: TestClient, code: str) -> Response:
    """What the page answers to the code that was scanned, as its script sends it."""
    first = phone.get("/pair", headers=PHONE)
    return phone.post("/pair", data=hidden(first) | {"code": code}, headers=PHONE)


def test_one_tap_on_a_name_after_the_scan_opens_today(home: HomeHouse) -> None:
    home.paired("Ana")
    phone = home.phone(8)
    names = scanned(phone, home.code())
    answer = phone.post("/pair", data=hidden(names) | {"person": choices(names)["Ana"]})
    assert (answer.status_code, answer.headers["location"]) == (303, "/today")
    assert phone.get("/today").status_code == 200


def test_no_name_is_shown_before_the_code_fits(home: HomeHouse) -> None:
    home.paired("Ana")
    phone = home.phone(8)
    assert "Ana" not in phone.get("/pair").text
    wrong = scanned(phone, "BBBBBBBB")
    assert (wrong.status_code, "Ana" in wrong.text) == (403, False)
    assert "does not fit" in wrong.text


def test_somebody_new_types_a_name_and_the_first_one_is_keeper(home: HomeHouse) -> None:
    phone = home.phone()
    names = scanned(phone, home.code())
    phone.post("/pair", data=hidden(names) | {"asked": "name", "name": " Ana ", "device": "Phone"})
    [ana] = home.http.get("/api/people").json()["people"]
    assert (ana["name"], ana["role"]) == ("Ana", "keeper")


def test_a_second_tap_on_the_button_is_answered_as_the_first(home: HomeHouse) -> None:
    phone = home.phone()
    sent = hidden(scanned(phone, home.code())) | {"asked": "name", "name": "Ana"}
    first, second = phone.post("/pair", data=sent), phone.post("/pair", data=sent)
    assert (second.status_code, second.headers["location"]) == (303, "/today")
    assert first.headers["set-cookie"] == second.headers["set-cookie"]
    assert len(home.http.get("/api/devices").json()["devices"]) == 1


def test_a_used_code_lets_nobody_else_in(home: HomeHouse) -> None:
    phone, other, code = home.phone(), home.phone(8), home.code()
    sent = hidden(scanned(phone, code)) | {"asked": "name", "name": "Ana"}
    phone.post("/pair", data=sent)
    assert other.post("/pair", data=sent | {"request_id": "another"}).status_code == 403


@pytest.mark.parametrize(
    "way", [str.lower, lambda code: f" {code[:4]}-{code[4:]} ", lambda code: f"http://x/pair#{code}"]
)
def test_a_code_is_read_however_it_is_typed(home: HomeHouse, way: object) -> None:
    assert callable(way)
    assert "Who are you?" in scanned(home.phone(), way(home.code())).text


def test_a_code_for_oneself_asks_for_no_name(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    home.paired("Ben", 9)
    names = scanned(home.phone(8), home.code(ana, **{"for": "me"}))
    assert list(choices(names)) == ["Ana"]
    assert "Somebody new" not in names.text


def test_a_members_code_lets_no_keeper_in(home: HomeHouse) -> None:
    home.paired("Ana")
    ben = home.paired("Ben", 9)
    names = scanned(home.phone(8), home.code(ben))
    assert list(choices(names)) == ["Ben"]


def test_pairing_again_ends_what_the_device_showed_before(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    before = ana.cookies["steading"]
    names = scanned(ana, home.code())
    assert ana.post("/pair", data=hidden(names) | {"asked": "name", "name": "Ana"}).status_code == 303
    assert len(home.http.get("/api/devices").json()["devices"]) == 1
    old = home.phone(9)
    old.cookies.set("steading", before)
    assert old.get("/api/today").status_code == 401


@pytest.mark.parametrize("name", ["", " \u200b\u2060", "x" * 61])
def test_a_name_that_says_nothing_or_too_much_is_asked_for_again_and_the_code_still_holds(
    home: HomeHouse, name: str
) -> None:
    phone = home.phone()
    sent = hidden(scanned(phone, home.code())) | {"asked": "name"}
    assert phone.post("/pair", data=sent | {"name": name}).status_code == 422
    assert phone.post("/pair", data=sent | {"name": "Ana"}).status_code == 303


def test_plain_http_says_that_others_could_read_along(home: HomeHouse) -> None:
    said = "others on this network could read along"
    assert said in home.phone().get("/pair").text
    assert said not in home.phone(base="https://192.168.50.1:8420").get("/pair").text


def test_a_page_that_is_not_for_one_is_the_pairing_page_with_the_reason_and_no_bar(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    [device] = ana.get("/api/devices").json()["devices"]
    assert home.http.delete(f"/api/devices/{device['id']}").status_code == 200
    answer = ana.get("/week")
    assert (answer.status_code, answer.headers["www-authenticate"]) == (401, "Bearer")
    page = read(answer.text)
    assert "not paired any more" in page.one("div", id="trouble").text
    assert list(page.every("nav")) == []


def test_htmx_that_is_not_let_in_is_sent_to_the_pairing_page(home: HomeHouse) -> None:
    answer = home.phone().post(f"/days/{home.today}/marks/bed-made", headers={"hx-request": "true"})
    assert (answer.status_code, answer.headers["hx-redirect"]) == (401, "/pair")


def test_a_program_that_is_not_let_in_gets_a_problem(home: HomeHouse) -> None:
    answer = home.phone().get("/api/today")
    assert (answer.status_code, answer.headers["www-authenticate"]) == (401, "Bearer")
    assert answer.headers["content-type"] == "application/problem+json"


def test_a_device_that_was_ended_reads_nothing_more(home: HomeHouse, monkeypatch: pytest.MonkeyPatch) -> None:
    ana = home.paired("Ana")
    [device] = ana.get("/api/devices").json()["devices"]
    home.http.post(f"/devices/{device['id']}/end")
    store = home.app.state.context.store
    for name in ("reading", "writing", "version", "people_reading"):
        monkeypatch.setattr(store, name, None)
    assert ana.get("/api/today").status_code == 401
    assert ana.get("/today").status_code == 401


def test_a_code_on_the_page_of_devices_has_a_picture_and_stands_there_once(home: HomeHouse) -> None:
    answer = home.http.post("/devices/code", data={"whose": "anyone"})
    page = read(answer.text)
    code = page.one("p", **{"class": "code-shown"}).text.replace(" ", "")
    assert re.fullmatch("[B-Z]{8}", code)
    assert list(page.every("svg", **{"class": "code-picture"}))
    assert code not in see(home, "/devices").text.replace(" ", "")


def test_devices_are_renamed_and_ended_by_their_own_and_by_keepers(home: HomeHouse) -> None:
    ana, ben = home.paired("Ana"), home.paired("Ben", 9)
    [of_ben] = ben.get("/api/devices").json()["devices"]
    of_ana = next(one for one in ana.get("/api/devices").json()["devices"] if one["this"])
    assert ben.post(f"/devices/{of_ben['id']}/name", data={"name": "kitchen phone"}).status_code == 303
    assert "kitchen phone" in ana.get("/devices").text
    assert ben.post(f"/devices/{of_ana['id']}/end").status_code == 403
    assert ben.delete(f"/api/devices/{of_ana['id']}").status_code == 403
    assert ben.delete("/api/devices/nothing").status_code == 404
    assert ana.post("/devices/others/end").status_code == 303
    assert (ana.get("/today").status_code, ben.get("/today").status_code) == (200, 401)


def test_signing_out_ends_the_device_and_what_the_browser_keeps(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    shown = ana.cookies["steading"]
    assert "Sign out this device" in ana.get("/more").text
    answer = ana.post("/sign-out")
    assert answer.headers["location"] == "/pair"
    assert answer.headers["clear-site-data"] == '"cache", "cookies", "storage"'
    assert "steading" not in ana.cookies
    ana.cookies.set("steading", shown)
    assert ana.get("/api/today").status_code == 401


def test_a_program_that_signs_out_ends_its_token(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    made = ana.post("/api/tokens", json={"name": "wall", "scope": "write"}).json()
    program = home.phone(9)
    program.headers["authorization"] = f"Bearer {made['token']}"
    assert program.post("/api/sign-out").json() == {"paired": False}
    assert program.get("/api/today").status_code == 401


def test_a_token_is_no_cookie_and_a_cookie_is_no_token(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    made = ana.post("/api/tokens", json={"name": "wall", "scope": "write"}).json()
    swapped = home.phone(9)
    swapped.cookies.set("steading", made["token"])
    assert swapped.get("/api/today").status_code == 401
    program = home.phone(10)
    program.headers["authorization"] = f"Bearer {ana.cookies['steading']}"
    assert program.get("/api/today").status_code == 401


def test_a_token_to_read_changes_nothing_and_ends_on_its_date(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    until = str(home.today + timedelta(days=1))
    made = ana.post("/api/tokens", json={"name": "wall", "until": until}).json()
    program = home.phone(9)
    program.headers["authorization"] = f"Bearer {made['token']}"
    assert program.get("/api/today").status_code == 200
    mark = program.put(f"/api/days/{home.today}/marks/bed-made", json={"mark": "kept"})
    assert (mark.status_code, mark.json()["type"]) == (403, "/problems/not-allowed")
    home.now += timedelta(hours=35)
    assert program.get("/api/today").status_code == 200
    home.now += timedelta(hours=1)
    assert program.get("/api/today").status_code == 401


def test_a_token_of_the_page_is_shown_this_once(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    answer = ana.post("/devices/tokens", data={"name": "wall", "scope": "read"})
    secret = read(answer.text).one("code", **{"class": "secret"}).text.removeprefix("Authorization: Bearer ")
    assert len(secret) == 43
    assert secret not in ana.get("/devices").text


@pytest.mark.parametrize("until", ["2027-01-03", "2028-01-06"])
def test_a_token_holds_for_a_year_at_most(home: HomeHouse, until: str) -> None:
    ana = home.paired("Ana")
    assert ana.post("/api/tokens", json={"name": "wall", "until": until}).status_code == 422


def test_people_are_renamed_made_keeper_and_taken_out(home: HomeHouse) -> None:
    ana, ben = home.paired("Ana"), home.paired("Ben", 9)
    keys = {one["name"]: one["person"] for one in ana.get("/api/people").json()["people"]}
    assert ben.post(f"/people/{keys['Ben']}/name", data={"name": "Benedikt"}).status_code == 303
    assert ben.post(f"/people/{keys['Ana']}/name", data={"name": "Anna"}).status_code == 403
    assert ana.post(f"/people/{keys['Ben']}/name", data={"name": "ANA"}).status_code == 422
    assert ana.post(f"/people/{keys['Ana']}/role", data={"role": "member"}).status_code == 409
    assert ana.post(f"/people/{keys['Ben']}/role", data={"role": "keeper"}).status_code == 303
    assert ben.get("/settings").status_code == 200
    assert ana.post(f"/people/{keys['Ben']}/remove").status_code == 303
    assert ben.get("/today").status_code == 401


def test_the_last_keeper_stays_and_is_told_so(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    [person] = ana.get("/api/people").json()["people"]
    answer = ana.delete(f"/api/people/{person['person']}")
    assert (answer.status_code, "only keeper" in answer.json()["detail"]) == (409, True)


def test_the_only_keeper_is_offered_nothing_that_would_be_refused(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    home.paired("Ben", 9)
    page = ana.get("/people").text
    assert page.count("Take <bdi>") == 1
    assert "No longer keeper" not in page
    ben = next(one for one in ana.get("/api/people").json()["people"] if one["name"] == "Ben")
    ana.patch(f"/api/people/{ben['person']}", json={"role": "keeper"})
    page = ana.get("/people").text
    assert page.count("Take <bdi>") == page.count(">No longer keeper<") == 2


def test_an_invitation_is_not_called_a_code(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    assert ">The code</h2>" in ana.post("/devices/code", data={"whose": "me"}).text
    page = ana.post("/devices/invitation").text
    assert ">The invitation</h2>" in page
    assert ">The code</h2>" not in page


def test_who_types_a_name_is_not_told_of_one_tap(home: HomeHouse) -> None:
    assert "Say your name" in scanned(home.phone(), home.code()).text
    home.paired("Ana")
    assert "One tap more" in scanned(home.phone(8), home.code()).text


def test_an_invitation_lets_one_member_in_within_fourteen_days(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    code = ana.post("/api/invitations", json={}).json()["code"]
    assert re.fullmatch("([B-Z]{4}-){3}[B-Z]{4}", code)
    home.now += timedelta(days=13)
    sent = {"code": code, "name": "Ben", "token": "write"}
    assert home.phone(9).post("/api/enrol", json=sent).status_code == 201
    assert home.phone(9).post("/api/enrol", json=sent).status_code == 403


@pytest.mark.parametrize("asked", [{"for": "household"}, {"uses": 2}, {"group": "spring"}])
def test_invitations_for_others_are_refused_at_home(home: HomeHouse, asked: dict[str, object]) -> None:
    assert home.http.post("/api/invitations", json=asked).status_code == 422


def test_wrong_short_codes_end_no_invitation(home: HomeHouse) -> None:
    invitation = home.http.post("/api/invitations", json={}).json()["code"]
    for number in range(6):
        home.phone(10 + number).post("/api/pair", json={"code": "BBBBBBBB", "name": "Ben"})
    assert home.phone(9).post("/api/enrol", json={"code": invitation, "name": "Ben"}).status_code == 201


def test_the_door_is_shown_to_keepers_without_any_code(home: HomeHouse) -> None:
    ana, ben = home.paired("Ana"), home.paired("Ben", 9)
    code = home.code()
    scanned(home.phone(10), "BCDFGHJK")
    shown = ana.get("/devices").text
    assert "wrong code" in shown
    assert "192.168.50.10" in shown
    assert code not in shown
    assert "At the door" not in ben.get("/devices").text


def test_names_of_any_script_stand_by_themselves(home: HomeHouse) -> None:
    home.paired("נועה")
    assert "<bdi>נועה</bdi>" in home.http.get("/people").text


def test_an_empty_house_says_what_to_do(home: HomeHouse) -> None:
    assert "Nobody is named yet" in home.http.get("/people").text
    assert "Nothing is paired yet" in home.http.get("/devices").text


def test_somebody_invited_begins_where_nobody_has(tmp_path: Path) -> None:
    home = HomeHouse(tmp_path)
    phone, code = home.phone(), home.http.post("/api/invitations", json={}).json()["code"]
    asked = {"code": code, "name": "Ana", "first": "nothing"}
    assert phone.post("/api/enrol", json=asked).status_code == 404
    assert phone.post("/api/enrol", json=asked | {"first": "bed-made", "zone": "UTC"}).status_code == 201
    assert phone.get("/api/today").json()["introduced"] == "bed-made"
    home.close()
