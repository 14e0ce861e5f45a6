"""Codes, invitations and enrolment where many households are hosted."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import TYPE_CHECKING

import pytest

from coach.ground.course_names import group_course
from coach.ground.people import Caller, Code, SignIn
from coach.household import codes, inviting
from coach.household.codes import kept_code
from web.many import COOKIE, ManyHouse
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from httpx2 import Response
    from starlette.testclient import TestClient

ANSWERS = {"name": "Nia", "household": "Rill Lane", "first": "bed-made", "zone": "Europe/London"}
FORM = ANSWERS | {"day_starts": "04:00", "pace": "gentle", "asked": "all"}


def bar(client: TestClient, path: str) -> list[str]:
    """Where the places lead that stand in the bar of a page."""
    places = read(client.get(path).text).one("nav", "places")
    return [link.attributes["href"] for link in places.every("a")]


@pytest.fixture
def many(tmp_path: Path) -> Iterator[ManyHouse]:
    house = ManyHouse(tmp_path)
    yield house
    house.close()


@pytest.fixture
def cora(many: ManyHouse) -> TestClient:
    """A coach without a household, who has a group."""
    client = many.signed_in(many.person("Cora", coaches=True))
    many.group("cora", "g")
    return client


def invited(coach: TestClient, uses: int = 1, group: str = "g") -> str:
    answer = coach.post("/api/invitations", json={"for": "household", "uses": uses, "group": group})
    assert answer.status_code == 201, answer.text
    return str(answer.json()["code"])


def enrolled(many: ManyHouse, code: str, **more: str) -> Response:
    return many.browser().post("/api/enrol", json={"code": code} | ANSWERS | more)


def shows(many: ManyHouse, answer: Response) -> TestClient:
    """A browser that shows what an answer gave it."""
    client = many.browser()
    secret = re.search(rf"{COOKIE}=([^;]+)", answer.headers["set-cookie"])
    assert secret is not None
    client.headers["cookie"] = f"{COOKIE}={secret[1]}"
    return client


def test_each_use_of_a_groups_invitation_begins_a_household_of_its_own(
    many: ManyHouse, cora: TestClient
) -> None:
    code = invited(cora, 2)
    found = [enrolled(many, code, household=name) for name in ("Rill Lane", "Fen Row", "One more")]
    assert [one.status_code for one in found] == [201, 201, 403]
    households = [one.json()["household"] for one in found[:2]]
    assert len(set(households)) == 2
    for household, name in zip(households, ("Rill Lane", "Fen Row"), strict=True):
        with many.store.reading(household) as reading:
            enrolment, home = reading.enrolment(), reading.household()
            assert [one.role for one in reading.members()] == ["keeper"]
        assert (enrolment.name, enrolment.group, enrolment.level) == (name, "g", "nothing")
        assert (home.zone, home.course) == ("Europe/London", group_course("g"))


def test_the_one_who_enrols_keeps_the_household_and_sees_its_first_day(
    many: ManyHouse, cora: TestClient
) -> None:
    answer = enrolled(many, invited(cora))
    assert "HttpOnly" in answer.headers["set-cookie"]
    assert "Secure" in answer.headers["set-cookie"]
    nia = shows(many, answer)
    assert nia.get("/api/today").json()["day"] == 1
    (nia_herself,) = nia.get("/api/people").json()["people"]
    assert (nia_herself["name"], nia_herself["role"]) == ("Nia", "keeper")
    assert cora.get("/api/today").status_code == 404


def test_a_start_before_the_groups_first_day_is_dated_on_it(many: ManyHouse, cora: TestClient) -> None:
    many.group("cora", "later", date(2027, 1, 11))
    nia = shows(many, enrolled(many, invited(cora, group="later")))
    assert nia.get("/api/today").json()["date"] == "2027-01-11"
    many.now += timedelta(days=10)
    assert nia.get("/api/today").json()["date"] == "2027-01-14"


def test_only_the_coach_of_a_group_invites_into_it(many: ManyHouse, cora: TestClient) -> None:
    many.group("somebody", "other")
    ana = many.household("Ana", "first")
    body = {"for": "household", "uses": 3}
    assert cora.post("/api/invitations", json=body | {"group": "other"}).status_code == 404
    assert cora.post("/api/invitations", json=body | {"group": "none"}).status_code == 404
    assert ana.post("/api/invitations", json=body | {"group": "g"}).status_code == 404
    assert cora.post("/api/invitations", json={}).status_code == 403
    unnamed = cora.post("/api/invitations", json={"for": "household"})
    assert (unnamed.status_code, "name the group" in unnamed.json()["detail"]) == (422, True)
    assert cora.post("/api/invitations", json=body | {"uses": 501, "group": "g"}).status_code == 422
    assert ana.post("/api/invitations", json={"for": "household"}).status_code == 422


def test_an_answer_that_cannot_be_read_leaves_the_invitation_as_it_is(
    many: ManyHouse, cora: TestClient
) -> None:
    code = invited(cora)
    for wrong in ({"zone": "Nowhere"}, {"first": "no-step"}, {"name": ""}, {"household": ""}, {"pace": "x"}):
        assert enrolled(many, code, **wrong).status_code in {404, 422}, wrong
    with many.store.people_reading() as people:
        assert people.count_homes() == 0
    assert enrolled(many, code).status_code == 201


def test_a_request_that_is_sent_again_begins_no_second_household(many: ManyHouse, cora: TestClient) -> None:
    code = invited(cora, 5)
    sent = {"code": code, "request_id": "8d0c4c1a-0000-4000-8000-000000000000"} | ANSWERS
    one, other = (many.browser().post("/api/enrol", json=sent) for _ in range(2))
    assert (one.status_code, one.json()) == (201, other.json())
    with many.store.people_reading() as people:
        assert people.count_homes() == 1


def test_the_page_asks_for_two_names_and_three_questions_without_a_script(
    many: ManyHouse, cora: TestClient
) -> None:
    code = invited(cora)
    browser = many.browser()
    assert "Letters of the invitation" in browser.get("/enrol").text
    form = browser.post("/enrol", data={"code": code.lower().replace("-", " ")}).text
    for label in ("Your name", "What your household is called", "Which one first?", "How fast?"):
        assert label in form
    untold = browser.post("/enrol", data={"code": code} | FORM | {"zone": ""})
    assert (untold.status_code, "Choose your time zone." in untold.text) == (422, True)
    assert 'value="Rill Lane"' in untold.text
    begun = browser.post("/enrol", data={"code": code} | FORM)
    assert (begun.status_code, begun.headers["location"]) == (303, "/today")
    assert shows(many, begun).get("/api/today").json()["day"] == 1
    assert "does not fit" in browser.post("/enrol", data={"code": code}).text


def test_the_code_of_a_new_household_leads_from_the_page_of_pairing_to_that_of_enrolling(
    many: ManyHouse, cora: TestClient
) -> None:
    code = invited(cora)
    assert "What your household is called" in many.browser().post("/pair", data={"code": code}).text
    refused = many.browser().post("/api/pair", json={"code": code, "name": "Nia"})
    assert (refused.status_code, "/enrol" in refused.json()["detail"]) == (422, True)


def test_somebody_who_is_let_in_begins_a_second_household_and_chooses_between_the_two(
    many: ManyHouse, cora: TestClient
) -> None:
    nia = shows(many, enrolled(many, invited(cora)))
    first = nia.get("/api/homes").json()["homes"]
    person = nia.get("/api/people").json()["people"][0]["person"]
    many.now += timedelta(minutes=1)
    begun = nia.post("/enrol", data={"code": invited(cora)} | FORM | {"household": "Fen", "person": person})
    nia = shows(many, begun)
    homes = nia.get("/api/homes").json()["homes"]
    assert [(one["name"], one["chosen"]) for one in homes] == [("Rill Lane", False), ("Fen", True)]
    assert "Fen, as now" in re.sub("<[^>]*>", "", nia.get("/homes").text)
    assert bar(nia, "/homes") == bar(nia, "/more")
    opened = nia.post("/more/open", data={"name": "week"})
    assert opened.status_code == 303
    assert "/week" in bar(nia, "/more")
    assert bar(nia, "/homes") == bar(nia, "/more")
    chosen = nia.post("/homes", data={"household": first[0]["household"]})
    assert (chosen.status_code, chosen.headers["location"]) == (303, "/today")
    assert [one["chosen"] for one in nia.get("/api/homes").json()["homes"]] == [True, False]
    assert nia.post("/homes", data={"household": "none"}).status_code == 404
    assert nia.put("/api/homes", json={"household": homes[1]["household"]}).json()["homes"][1]["chosen"]


def test_one_file_has_room_for_fifty_households(many: ManyHouse, cora: TestClient) -> None:
    with many.store.people_writing() as people:
        for number in range(50):
            people.put_member(f"h{number}", "cora", "member", many.now)
    refused = enrolled(many, invited(cora))
    assert refused.status_code == 403
    assert "50 share one file" in refused.json()["detail"]
    assert "PostgreSQL" in refused.json()["detail"]


def test_a_coach_comes_by_an_invitation_of_whoever_runs_the_service(many: ManyHouse) -> None:
    made = inviting.invite_coach(many.app.state.context, "Cora")
    assert made.link == f"/pair#{made.code}"
    browser = many.browser()
    assert 'value="Cora"' in browser.post("/pair", data={"code": made.code}).text
    sent = {"code": made.code, "name": "Cora", "asked": "name"}
    paired = browser.post("/pair", data=sent)
    assert (paired.status_code, paired.headers["location"]) == (303, "/groups")
    assert "Max-Age=2592000" in paired.headers["set-cookie"]
    assert browser.post("/pair", data=sent).status_code == 403
    client = shows(many, paired)
    many.now += timedelta(hours=23)
    assert bar(client, "/homes") == bar(client, "/passkeys") == ["/groups", "/passkeys", "/devices"]
    many.now += timedelta(hours=25)
    assert client.get("/homes").status_code == 401


def test_a_household_that_the_operator_invites_is_in_no_group(many: ManyHouse) -> None:
    made = inviting.invite_home(many.app.state.context, "Rill Lane")
    assert made.link == f"/enrol#{made.code}"
    answer = enrolled(many, made.code, household="")
    with many.store.reading(answer.json()["household"]) as reading:
        enrolment = reading.enrolment()
    assert (enrolment.name, enrolment.group) == ("Rill Lane", "")


def test_a_pairing_code_says_whose_household_it_leads_into(many: ManyHouse) -> None:
    ana, olga = many.household("Ana", "first"), many.household("Olga", "second")
    found = [one.post("/api/pairing", json={"for": "anyone"}).json() for one in (ana, olga)]
    assert [len(one["code"].replace("-", "")) for one in found] == [12, 12]
    assert found[0]["link"] == f"https://steading.example/pair#{found[0]['code']}"
    paired = [
        many.browser().post("/api/pair", json={"code": one["code"], "name": "New"}).json() for one in found
    ]
    assert [one["household"] for one in paired] == ["first", "second"]


def test_wrong_letters_behind_those_that_name_a_code_end_it_alone(many: ManyHouse) -> None:
    ana, olga = many.household("Ana", "first"), many.household("Olga", "second")
    code, other = (one.post("/api/pairing", json={}).json()["code"] for one in (ana, olga))
    plain = code.replace("-", "")
    for number in range(5):
        wrong = plain[:4] + "BCDFGHJK"
        tried = many.browser(f"198.51.100.{number}").post("/api/pair", json={"code": wrong, "name": "Eve"})
        assert tried.status_code == 403
    assert many.browser().post("/api/pair", json={"code": code, "name": "Ben"}).status_code == 403
    assert many.browser().post("/api/pair", json={"code": other, "name": "Ben"}).status_code == 201
    assert "wrong code" in str([one.outcome for one in door_of(many, "first")])
    assert "wrong code" not in str([one.outcome for one in door_of(many, "second")])


def door_of(many: ManyHouse, household: str) -> list[SignIn]:
    with many.store.people_reading() as people:
        return list(people.sign_ins(household, 50))


def test_nobody_waits_for_what_is_tried_from_other_addresses(many: ManyHouse) -> None:
    code = many.household("Ana", "first").post("/api/pairing", json={}).json()["code"]
    wrong = {"code": "X" * 12, "name": "E"}
    statuses = [
        many.browser(f"203.0.113.{number}").post("/api/pair", json=wrong).status_code for number in range(110)
    ]
    assert set(statuses) == {403}
    assert many.browser().post("/api/pair", json={"code": code, "name": "Ben"}).status_code == 201


def test_one_address_waits_after_ten_wrong_codes_and_a_line_of_ipv6_is_one(many: ManyHouse) -> None:
    for number in range(11):
        browser = many.browser(f"2a02:7e8:1:2::{number:x}")
        last = browser.post("/api/pair", json={"code": "X" * 12, "name": "E"}).status_code
        assert last == (403 if number < 10 else 429)
    assert many.browser("2a02:7e8:1:3::1").post("/api/pair", json={"code": "X" * 12}).status_code == 403


def test_a_wrong_code_that_names_none_makes_nobody_work(
    many: ManyHouse, monkeypatch: pytest.MonkeyPatch
) -> None:
    ana = many.household("Ana", "first")
    code = ana.post("/api/pairing", json={}).json()["code"].replace("-", "")
    asked: list[str] = []
    slow = codes.code_hash

    def counted(letters: str) -> str:
        asked.append(letters)
        return slow(letters)

    monkeypatch.setattr("coach.household.pairing.code_hash", counted)
    for number in range(5):
        many.browser().post("/api/pair", json={"code": "XXXX" + code[4:], "name": "E"})
        many.browser("203.0.113.9").post("/api/pair", json={"code": code[:4] + "X" * 8, "name": "E"})
        assert len(asked) == number + 1
    many.browser("203.0.113.9").post("/api/pair", json={"code": code[:4] + "X" * 8, "name": "E"})
    assert len(asked) == 5


def test_a_printed_invitation_outlives_the_slips_of_many(many: ManyHouse, cora: TestClient) -> None:
    code = invited(cora, 100)
    for number in range(9):
        wrong = code[:4] + "BCDFGHJKLMNP"
        assert many.browser(f"203.0.113.{number}").post("/enrol", data={"code": wrong}).status_code == 403
    assert enrolled(many, code).status_code == 201


def test_invitations_of_a_group_are_listed_without_their_letters_and_end_together(
    many: ManyHouse, cora: TestClient
) -> None:
    code = invited(cora, 30)
    context, caller = many.app.state.context, Caller("", person="cora", coaches=True)
    assert [one.uses for one in inviting.invitations(context, caller, "g").invitations] == [30]
    inviting.end_invitations(context, caller, "g")
    assert inviting.invitations(context, caller, "g").invitations == ()
    assert enrolled(many, code).status_code == 403


def test_a_code_that_was_made_for_a_coach_does_not_ask_who_that_is(many: ManyHouse) -> None:
    cora = many.person("Cora", coaches=True)
    code = Code("", "coach", cora, cora, 1, 0, many.now, many.now + timedelta(days=1))
    made = kept_code(many.app.state.context, code, "")
    phone = many.browser("198.51.100.9")
    page = phone.post("/pair", data={"code": made.code}).text
    assert "One tap more, and your groups open." in page
    assert f'value="{cora}">' in page
    assert 'name="name"' not in page
    answer = phone.post("/pair", data={"code": made.code, "person": cora}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/groups")
