"""A coach's pages and what stands below a household's lesson, as browsers are given them."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from web.broken import change
from web.coaching.valley import ANA, BEN, HOUSEHOLD, Valley
from web.many import credential
from web.markup import read
from web.test_one_reading import Watched

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def valley(tmp_path: Path) -> Iterator[Valley]:
    house = Valley(tmp_path)
    yield house
    house.close()


EVIL = '<script>alert(1)</script> & "quotes"'


def ask(valley: Valley, text: str, **more: str) -> str:
    form = {"step": "bed-made", "lesson": "1", "back": "today", "request_id": text} | more
    return valley.send("/questions", HOUSEHOLD, text=text, **form)


def waiting(valley: Valley) -> list[str]:
    boxes = valley.page(f"{valley.place}/questions", ANA).every("input", type="checkbox")
    return [box.attributes["value"] for box in boxes if box.attributes["name"] == "asked"]


def answer(valley: Valley, asked: str, **more: str) -> str:
    form = {"asked": asked, "request_id": asked} | more
    return valley.send(f"{valley.place}/answers", ANA, **form)


def test_a_coach_without_groups_is_told_what_to_do_next(valley: Valley) -> None:
    assert "Make the first group" in valley.page("/groups", BEN).text


def test_a_group_is_made_once_and_opens(valley: Valley) -> None:
    form = {"name": "Summer", "course": "three-weeks", "first_day": "2027-02-01", "request_id": "a"}
    first = valley.send("/groups", BEN, **form)
    assert valley.send("/groups", BEN, **form) == first
    shown = valley.page(first.partition("?")[0], BEN)
    assert "Summer" in shown.text
    assert "No household has come yet" in shown.text
    assert valley.page("/groups", BEN).text.count("Summer") == 1


def test_a_group_without_a_name_is_asked_for_again_as_it_was_typed(valley: Valley) -> None:
    form = {"name": " ", "course": "three-weeks", "first_day": "2027-02-03"}
    with valley.asked_by(BEN):
        answer = valley.http.post("/groups", data=form)
    assert answer.status_code == 422
    assert "Write what the group is called" in answer.text
    assert 'value="2027-02-03"' in answer.text


def test_a_group_is_renamed(valley: Valley) -> None:
    valley.send(f"{valley.place}/name", ANA, name="Early spring")
    assert "Early spring" in valley.page(valley.place, ANA).text


@pytest.mark.parametrize("caller", [BEN, HOUSEHOLD], ids=["another coach", "a household"])
@pytest.mark.parametrize("path", ["", "/households", "/households/home", "/questions", "/notes"])
def test_nobody_else_is_told_of_a_group(valley: Valley, caller: str, path: str) -> None:
    with valley.asked_by(caller):
        found, nowhere = (
            valley.http.get(f"/groups/{one}{path}") for one in (valley.group_made.id, "nowhere")
        )
    assert (found.status_code, nowhere.status_code) == (404, 404)
    assert "Group spring" not in found.text
    assert found.text.replace(valley.group_made.id, "nowhere") == nowhere.text


def test_who_shares_nothing_is_counted_as_come_and_named_nowhere(valley: Valley) -> None:
    for path in ("", "/households"):
        shown = valley.page(valley.place + path, ANA).text
        assert "Tern Street" not in shown
    with valley.asked_by(ANA):
        assert valley.http.get(f"{valley.place}/households/home").status_code == 404


def test_by_name_its_page_shows_what_it_shares(valley: Valley) -> None:
    valley.joins("by name", valley.today)
    ask(valley, "Both of us?", with_name="true")
    ask(valley, "In secret?")
    assert "Tern Street" in valley.page(valley.place, ANA).text
    shown = valley.page(f"{valley.place}/households/home", ANA).text
    assert "Both of us?" in shown
    assert "In secret?" not in shown


def test_a_question_is_asked_below_the_lesson_and_shown_there_at_once(valley: Valley) -> None:
    valley.page("/today")
    assert ask(valley, "With a bunk bed?") == "/today?said=asked"
    assert ask(valley, "With a bunk bed?") == "/today?said=asked"
    for path in ("/today", "/steps/bed-made", "/questions"):
        assert valley.page(path).text.count("With a bunk bed?") == 1
    assert ask(valley, "And in summer?", back="step") == "/steps/bed-made?said=asked"


def test_what_is_too_long_stands_there_as_it_was_typed(valley: Valley) -> None:
    text = "long " * 300
    form = {"text": text, "step": "bed-made", "lesson": "1", "back": "today", "with_name": "true"}
    answer = valley.http.post("/questions", data=form)
    assert answer.status_code == 422
    assert "at most 1000 characters" in answer.text
    assert text.strip() in answer.text


def test_an_answer_comes_to_who_asked_and_for_all_in_other_words(valley: Valley) -> None:
    ask(valley, "We of number five: a bunk bed?")
    [question] = waiting(valley)
    said = {"text": "The lower one.", "for_all": "true", "question": "A bunk bed?"}
    assert answer(valley, question, **said).endswith("questions?said=answered")
    answer(valley, question, **said)
    valley.now += timedelta(minutes=1)
    assert "The lower one." in valley.page("/today").text
    assert waiting(valley) == []
    shown = valley.page(f"{valley.place}/questions", ANA).text
    assert "One household, and all of the group" in shown


def test_an_answer_that_says_nothing_is_asked_for_again(valley: Valley) -> None:
    ask(valley, "A bunk bed?")
    [question] = waiting(valley)
    with valley.asked_by(ANA):
        again = valley.http.post(f"{valley.place}/answers", data={"asked": question, "text": " "})
    assert again.status_code == 422
    assert "An answer says something" in again.text


def test_alike_questions_are_taken_apart_and_put_together(valley: Valley) -> None:
    ask(valley, "How does one air the bunk bed upstairs?")
    ask(valley, "The bunk bed upstairs: air it how?")
    assert "2 that may be alike" in valley.page(f"{valley.place}/questions", ANA).text
    first, second = waiting(valley)
    valley.send(f"{valley.place}/questions/{second}/apart", ANA)
    assert "may be alike" not in valley.page(f"{valley.place}/questions", ANA).text
    valley.send(f"{valley.place}/questions/{second}/together", ANA, other=first)
    assert "2 that may be alike" in valley.page(f"{valley.place}/questions", ANA).text


def test_a_note_stands_on_its_day_and_is_put_away(valley: Valley) -> None:
    valley.send(f"{valley.place}/notes", ANA, on=str(valley.today), text="Open the windows.")
    assert "Open the windows." in valley.page(valley.place, ANA).text
    assert "Open the windows." in valley.page("/today").text
    valley.send(f"/notes/{valley.today}/away")
    assert "Open the windows." not in valley.page("/today").text


def test_a_note_is_changed_and_taken_off(valley: Valley) -> None:
    for text in ("Open the windows.", "Close the windows."):
        valley.send(f"{valley.place}/notes", ANA, on=str(valley.today), text=text)
    shown = valley.page(f"{valley.place}/notes", ANA).text
    assert "Close the windows." in shown
    assert "Open the windows." not in shown
    valley.send(f"{valley.place}/notes/{valley.today}/drop", ANA)
    assert "Nothing is said yet" in valley.page(f"{valley.place}/notes", ANA).text


def test_whatever_is_written_is_text(valley: Valley) -> None:
    valley.joins("by name", valley.today)
    valley.send(f"{valley.place}/name", ANA, name=EVIL)
    ask(valley, EVIL, with_name="true")
    ask(valley, f"{EVIL} again")
    valley.send(f"{valley.place}/notes", ANA, on=str(valley.today), text=EVIL)
    answer(valley, waiting(valley)[0], text=EVIL, for_all="true", question=EVIL)
    valley.now += timedelta(minutes=1)
    pages = [(path, HOUSEHOLD) for path in ("/today", "/steps/bed-made", "/questions")]
    pages += [(valley.place + path, ANA) for path in ("", "/households/home", "/questions", "/notes")]
    for path, caller in [*pages, ("/groups", ANA)]:
        with valley.asked_by(caller):
            shown = valley.http.get(path).text
        assert "<script>alert" not in shown
        assert "&lt;script&gt;alert" in shown, path


def test_where_there_is_no_group_nothing_of_it_is_shown(tmp_path: Path) -> None:
    house = Valley(tmp_path, in_group=False)
    shown = house.page("/today").text
    assert "coach" not in shown.lower()
    assert "in no group" in house.page("/questions").text
    assert house.http.post("/questions", data={"text": "Why?"}).status_code == 404
    house.close()


def test_a_note_that_cannot_be_read_any_more_as_put_away_is_shown_and_named(valley: Valley) -> None:
    valley.send(f"{valley.place}/notes", ANA, on=str(valley.today), text="Open the windows.")
    valley.send(f"/notes/{valley.today}/away")
    change(valley.file, "UPDATE plan_value SET value = '{\"a\": 5}' WHERE what = 'note-away'")
    shown = valley.page("/today?said=saved").text
    assert "A note that was put away" in shown
    assert "Open the windows." in shown


def test_what_a_group_costs_todays_page_is_one_statement(valley: Valley) -> None:
    """And a household without one pays nothing: the group stands in the row that is read anyway."""

    def cost() -> tuple[int, int]:
        valley.now += timedelta(minutes=1)
        watched = Watched(valley.http)
        with watched.watching() as seen:
            assert valley.http.get("/today").status_code == 200
        return len(seen.statements), seen.transactions

    valley.http.get("/today")
    grouped = cost()
    with closing(sqlite3.connect(valley.file)) as connection, connection:
        connection.execute("DELETE FROM enrolment")
    alone = cost()
    assert grouped == (alone[0] + 1, alone[1] + 1)


def test_an_invitation_is_printed_this_once_and_its_letters_let_a_household_in(valley: Valley) -> None:
    with valley.asked_by(ANA):
        made = valley.http.post(f"{valley.place}/invitation", data={"uses": "2", "layout": "slips"})
    shown = read(made.text)
    slips = list(shown.every(name="slip"))
    assert len(slips) == 8
    assert all(len(list(slip.every("svg", "code-picture"))) == 1 for slip in slips)
    letters = slips[0].one("p", "code-shown").text
    assert "https://steading.example/enrol" in slips[0].text
    form = {"code": letters, "name": "Ida", "household": "Ash House", "zone": "UTC", "first": "bed-made"}
    came = valley.browser("198.51.100.9").post("/api/enrol", json=form | {"token": "write"})
    assert came.status_code == 201, came.text
    held = valley.page(f"{valley.place}/invitation", ANA)
    assert "1 more household can come" in held.text
    assert letters not in held.text
    assert valley.page(valley.place, ANA).one("dl", "counts").one("dd").text == "2"


def test_an_invitation_can_be_one_big_and_is_ended(valley: Valley) -> None:
    with valley.asked_by(ANA):
        made = valley.http.post(f"{valley.place}/invitation", data={"uses": "500", "layout": "one"})
    assert len(list(read(made.text).every(name="slip"))) == 1
    valley.send(f"{valley.place}/invitation/end", ANA)
    assert "None. Make one here" in valley.page(f"{valley.place}/invitation", ANA).text


@pytest.mark.parametrize("uses", ["0", "501", "many"])
def test_an_invitation_lets_from_one_to_five_hundred_in(valley: Valley, uses: str) -> None:
    with valley.asked_by(ANA):
        assert valley.http.post(f"{valley.place}/invitation", data={"uses": uses}).status_code == 422
    assert "None. Make one here" in valley.page(f"{valley.place}/invitation", ANA).text


def test_another_coach_makes_and_ends_no_invitation_here(valley: Valley) -> None:
    with valley.asked_by(BEN):
        for path in ("", "/end"):
            answer = valley.http.post(f"{valley.place}/invitation{path}", data={} if path else {"uses": "2"})
            assert answer.status_code == 404


def test_a_coach_without_a_household_makes_no_token(valley: Valley) -> None:
    with valley.asked_by(BEN):
        assert valley.http.post("/devices/tokens", data={"name": "wall"}).status_code == 403


def test_without_a_passkey_no_invitation_is_made(valley: Valley) -> None:
    with valley.store.people_writing() as people:
        people.drop_passkey(ANA, credential(ANA))
    assert "Add a passkey" in valley.page(f"{valley.place}/invitation", ANA).text
    with valley.asked_by(ANA):
        answer = valley.http.post(f"{valley.place}/invitation", data={"uses": "2"})
        body = {"for": "household", "group": "spring", "uses": 2}
        told = valley.http.post("/api/invitations", json=body)
    assert answer.status_code == 409
    assert "A group opens once you have a passkey" in answer.text
    assert told.status_code == 409
