"""Two people at one form, two programs at one address: nothing is undone unseen, or added twice."""

from __future__ import annotations

from typing import TYPE_CHECKING
from unittest.mock import patch

import pytest

from coach.desk import dues
from web.forms import see, send, values
from web.kitchen.full_week import ask
from web.markup import read

if TYPE_CHECKING:
    from coach.desk.answers import Desk
    from coach.desk.dues import TypedDue
    from coach.ground.ports import Context
    from web.house import House

DUE = {"name": "Rent", "on": "2027-01-31", "repeats": "once", "needs": "3", "amount": "900"}


@pytest.fixture
def due(house: House) -> str:
    """The address of a due's page."""
    send(house, "/desk/dues", **DUE)
    [found] = ask(house, "GET", "/api/dues")["dues"]
    return f"/desk/dues/{found['id']}"


@pytest.fixture
def todo(house: House) -> str:
    """The address of a to-do's page."""
    send(house, "/desk/to-dos", lines="Mend the gate")
    [found] = ask(house, "GET", "/api/to-dos")["open"]
    return f"/desk/to-dos/{found['id']}"


def test_a_later_save_of_another_field_keeps_the_earlier(house: House, due: str) -> None:
    ours, theirs = values(see(house, due)), values(see(house, due))
    send(house, due, **(theirs | {"name": "Rent of the flat"}))
    send(house, due, **(ours | {"amount": "950"}))
    kept = values(see(house, due))
    assert (kept["name"], kept["amount"]) == ("Rent of the flat", "950")


def test_a_later_save_of_the_same_field_shows_both_and_writes_nothing(house: House, due: str) -> None:
    ours = values(see(house, due))
    send(house, due, **(ours | {"amount": "950", "name": "Rent of the flat"}))
    answer = house.http.post(due, data=ours | {"amount": "1000", "needs": "9"})
    page = read(answer.text)
    assert answer.status_code == 409
    assert [one.text for one in page.one("fieldset", "both").every("dd")] == ["950", "1000"]
    shown = values(page)
    assert (shown["amount"], shown["needs"], shown["name"]) == ("1000", "9", "Rent of the flat")
    assert values(see(house, due))["amount"] == "950"


def test_a_date_that_two_people_changed_is_said_in_words(house: House, due: str) -> None:
    ours = values(see(house, due))
    send(house, due, **(ours | {"on": "2027-02-07"}))
    page = read(house.http.post(due, data=ours | {"on": "2027-02-09"}).text)
    both = [one.text for one in page.one("fieldset", "both").every("dd")]
    assert both == ["Sunday 7 February 2027", "Tuesday 9 February 2027"]


@pytest.mark.parametrize(("take", "left"), [([], "1000"), (["amount"], "950")])
def test_after_both_were_shown_one_chooses(house: House, due: str, take: list[str], left: str) -> None:
    ours = values(see(house, due))
    send(house, due, **(ours | {"amount": "950"}))
    shown = values(read(house.http.post(due, data=ours | {"amount": "1000", "needs": "9"}).text))
    send(house, due, **(shown | {"take": take}))
    kept = values(see(house, due))
    assert (kept["amount"], kept["needs"]) == (left, "9")


def test_what_cannot_be_read_is_asked_again_and_still_undoes_nothing(house: House, due: str) -> None:
    ours = values(see(house, due))
    send(house, due, **(ours | {"name": "Rent of the flat"}))
    again = values(read(house.http.post(due, data=ours | {"needs": "few"}).text))
    send(house, due, **(again | {"needs": "5"}))
    kept = values(see(house, due))
    assert (kept["name"], kept["needs"]) == ("Rent of the flat", "5")


def test_a_change_of_what_was_taken_off_tells_what_was_typed(house: House, due: str) -> None:
    ours = values(see(house, due))
    send(house, f"{due}/remove")
    answer = house.http.post(due, data=ours | {"amount": "1234 in coins"})
    assert answer.status_code == 404
    assert "1234 in coins" in answer.text


def test_what_changes_between_the_joining_and_the_writing_is_joined_too(house: House, due: str) -> None:
    ours = values(see(house, due))
    change = dues.change
    calls: list[str] = []

    def after_another(context: Context, household: str, due_id: str, typed: TypedDue) -> Desk:
        if not calls:
            calls.append(due_id)
            send(house, due, **(ours | {"name": "Rent of the flat"}))
        return change(context, household, due_id, typed)

    with patch.object(dues, "change", after_another):
        send(house, due, **(ours | {"amount": "950"}))
    kept = values(see(house, due))
    assert (kept["name"], kept["amount"]) == ("Rent of the flat", "950")


@pytest.mark.parametrize(("page", "name"), [("due", "amount"), ("todo", "title"), ("settings", "minutes")])
def test_what_was_typed_stays_while_others_keep_changing_the_same(
    request: pytest.FixtureRequest, house: House, page: str, name: str
) -> None:
    address = "/settings" if page == "settings" else request.getfixturevalue(page)
    ours = values(see(house, address))
    send(house, address, **(ours | {name: "40"}))
    with patch("coach.web.pages.seen.TRIES", 0):
        answer = house.http.post(address, data=ours | {name: "55"})
    assert answer.status_code == 422
    shown = read(answer.text)
    assert "Others are changing this" in shown.one(id="trouble").text
    assert values(shown)[name] == "55"
    assert values(see(house, address))[name] == "40"


def test_two_people_change_one_to_do(house: House, todo: str) -> None:
    ours = values(see(house, todo))
    send(house, todo, **(ours | {"kind": "errand", "place": "at the smith's"}))
    answer = house.http.post(todo, data=ours | {"kind": "put-off"})
    assert answer.status_code == 409
    assert [one.text for one in read(answer.text).one("fieldset", "both").every("dd")] == [
        "An errand",
        "A put-off job",
    ]


@pytest.mark.parametrize(
    ("address", "page", "typed"),
    [
        ("/desk/dues", "/desk", DUE),
        ("/desk/to-dos", "/desk", {"lines": "Mend the gate\nFind the key"}),
        ("/quick", "/quick?line=mend+the+gate", {"title": "Mend the gate"}),
    ],
)
def test_a_second_tap_adds_nothing(house: House, address: str, page: str, typed: dict[str, str]) -> None:
    form = values(see(house, page))
    names = {"dues": DUE, "to-dos": {"lines", "kind", "place"}}.get(address.rpartition("/")[2], form)
    sent = {name: text for name, text in form.items() if name in {*names, "request_id"}} | typed
    first, then = send(house, address, **sent), _counts(house)
    assert send(house, address, **sent) == first
    assert _counts(house) == then


def test_other_words_from_the_same_page_are_another_request(house: House) -> None:
    sent = {"request_id": values(see(house, "/desk"))["request_id"]}
    send(house, "/desk/to-dos", lines="Mend the gate", **sent)
    send(house, "/desk/to-dos", lines="Find the key", **sent)
    assert len(ask(house, "GET", "/api/to-dos")["open"]) == 2


def _counts(house: House) -> list[int]:
    todos, dues = ask(house, "GET", "/api/to-dos"), ask(house, "GET", "/api/dues")["dues"]
    return [len(dues), len(todos["open"]), len(todos["put_off"])]


def test_a_program_that_saw_an_older_version_writes_nothing(house: House, due: str) -> None:
    address = f"/api{due.removeprefix('/desk')}"
    seen = house.http.get(address)
    body = {name: seen.json()[name] for name in ("name", "on", "repeats", "needs", "amount")}
    headers = {"if-match": seen.headers["etag"]}
    assert house.http.put(address, json=body | {"amount": "950"}, headers=headers).status_code == 200
    late = house.http.put(address, json=body | {"amount": "1000"}, headers=headers)
    assert (late.status_code, late.json()["type"]) == (412, "/problems/outdated")
    assert late.json()["now"]["amount"] == "950"
    again = house.http.put(address, json=body | {"amount": "1000"}, headers={"if-match": late.json()["etag"]})
    assert again.status_code == 200
    assert house.http.get(address).json()["amount"] == "1000"


@pytest.mark.parametrize("if_match", ['"something-else"', "not a tag", 'W/"{tag}"', '"a", "b"'])
def test_a_tag_that_does_not_match_writes_nothing(house: House, todo: str, if_match: str) -> None:
    address = f"/api{todo.removeprefix('/desk')}"
    tag = house.http.get(address).headers["etag"]
    headers = {"if-match": if_match.replace('"{tag}"', tag)}
    answer = house.http.patch(address, json={"title": "Paint the gate"}, headers=headers)
    assert (answer.status_code, house.http.get(address).json()["title"]) == (412, "Mend the gate")


@pytest.mark.parametrize("if_match", ["*", '"something-else", {tag}'])
def test_one_tag_of_several_and_any_tag_match(house: House, todo: str, if_match: str) -> None:
    address = f"/api{todo.removeprefix('/desk')}"
    headers = {"if-match": if_match.replace("{tag}", house.http.get(address).headers["etag"])}
    assert house.http.delete(address, headers=headers).status_code == 200
