"""Taps on pages that somebody has open: done once, and only for what the page showed."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.forms import see, send
from web.kitchen.full_week import ask
from web.markup import read
from web.test_two_people_rooms import TUESDAY, changed, form_of
from web.week.house import JOB, grown, six_lines

if TYPE_CHECKING:
    from web.house import House

OWN = {"title": "Feed the dog", "cue": "", "small": "", "minutes": "5", "slot": "morning", "repeat": "daily"}


def everything(house: House) -> Any:  # noqa: ANN401  JSON
    """All that a household has written down, but for the course."""
    return [
        house.http.get("/api/log.csv").text,
        *(ask(house, "GET", f"/api/{what}") for what in ("available", "dinners", "favourites", "path")),
        house.app.state.context.store.version("home").version,
    ]


def test_a_second_tap_adds_no_second_step_and_leads_to_the_first(house: House) -> None:
    form = form_of(see(house, "/new-step"), "/new-step") | OWN
    first = send(house, "/new-step", **form)
    then = everything(house)
    assert send(house, "/new-step", **form) == first == "/steps/feed-the-dog?said=added"
    assert everything(house) == then
    assert house.http.get(first).status_code == 200


def test_a_second_tap_leads_to_the_path_once_the_step_has_another_name(house: House) -> None:
    form = form_of(see(house, "/new-step"), "/new-step") | OWN
    send(house, "/new-step", **form)
    send(house, "/steps/feed-the-dog/adjust", title="Feed the cat")
    assert send(house, "/new-step", **form) == "/path?said=added"


def test_a_step_of_the_catalogue_is_added_once_whoever_taps(house: House) -> None:
    first = send(house, "/catalogue/water")
    then = everything(house)
    assert send(house, "/catalogue/water") == first
    assert everything(house) == then
    assert house.http.post("/catalogue/moon").status_code == 404


@pytest.mark.parametrize(
    ("before", "page", "address", "typed"),
    [
        ([], "/away", "/away", {"since": "2027-01-10", "until": "2027-01-20"}),
        ([("/away", {"since": "2027-01-10"})], "/away", "/away/call-off", {}),
        ([("/away", {})], "/away", "/away/back", {}),
        ([("/away", {})], "/today", "/away/back", {}),
        ([], "/dinner/favourites", "/dinner/favourites", {"new_dish-dish": "Pancakes"}),
        ([], "/steps/bed-made", "/steps/bed-made/set-aside", {}),
        ([], "/path", "/steps/out-and-back/next", {}),
    ],
)
def test_a_second_tap_changes_nothing_and_leads_to_the_same_page(
    house: House, before: list[tuple[str, dict[str, str]]], page: str, address: str, typed: dict[str, str]
) -> None:
    for way, form in before:
        send(house, way, **form)
    shown = see(house, page)
    forms = [one.attributes["action"] for one in shown.every("form")]
    form = (form_of(shown, address) if address in forms else {}) | typed
    first = send(house, address, **form)
    then = everything(house)
    assert send(house, address, **form) == first
    assert everything(house) == then
    assert house.http.get(first).status_code == 200


def test_a_second_tap_on_begin_leads_to_today_like_the_first(empty: House) -> None:
    form = form_of(see(empty, "/start"), "/start") | {"zone": "UTC"}
    assert send(empty, "/start", **form) == "/today"
    then = everything(empty)
    assert send(empty, "/start", **form) == "/today"
    assert everything(empty) == then
    assert empty.http.post("/start", data=form | {"zone": "Europe/Lisbon"}).status_code == 409


DESK = {
    "to-dos": ({"lines": "Mend the gate"}, {"title": "Mend the fence"}),
    "dues": ({"name": "Rent", "on": "2027-01-31", "needs": "3"}, {"name": "Rent of the flat"}),
}


@pytest.mark.parametrize("kind", DESK)
def test_what_somebody_has_changed_is_not_taken_off_unseen_and_a_second_tap_is_like_the_first(
    house: House, kind: str
) -> None:
    typed, change = DESK[kind]
    send(house, f"/desk/{kind}", **typed)
    address = next(
        one.attributes["href"]
        for one in see(house, "/desk").every("a")
        if f"/{kind}/" in one.attributes["href"]
    )
    remove = f"{address}/remove"
    late = form_of(see(house, address), remove)
    send(house, address, **(form_of(see(house, address), address) | change))
    answer = house.http.post(remove, data=late)
    page = read(answer.text)
    assert answer.status_code == 409
    assert "so it was not taken off" in page.one("div", id="trouble").text
    assert next(iter(change.values())) in page.one("h1").text
    form = form_of(page, remove)
    assert send(house, remove, **form) == send(house, remove, **form) == "/desk?said=taken-off"


def test_a_favourite_that_somebody_has_changed_is_not_taken_off_unseen(house: House) -> None:
    ask(house, "POST", "/api/favourites", {"dish": "Pancakes"})
    remove = "/dinner/favourites/pancakes/remove"
    late = form_of(see(house, "/dinner/favourites"), remove)
    ask(house, "PUT", "/api/favourites/pancakes", {"dish": "Thin pancakes"})
    answer = house.http.post(remove, data=late)
    assert (answer.status_code, "so it was not taken off" in answer.text) == (409, True)
    form = form_of(read(answer.text), remove)
    assert send(house, remove, **form) == send(house, remove, **form) == "/dinner/favourites?said=taken-off"


def test_the_choice_on_a_return_is_written_once(house: House) -> None:
    house.live(3)
    house.sleep(30)
    form = form_of(see(house, "/today"), "/today/return") | {"choice": "all"}
    first = send(house, "/today/return", **form)
    then = everything(house)
    assert send(house, "/today/return", **form) == first
    assert everything(house) == then


def test_two_people_who_go_away_on_different_dates_see_both(house: House) -> None:
    shown = form_of(see(house, "/away"), "/away")
    send(house, "/away", **(shown | {"since": "2027-01-10", "until": "2027-01-20"}))
    mine = shown | {"since": "2027-02-01", "until": ""}
    answer = house.http.post("/away", data=mine)
    assert answer.status_code == 409
    both = [one.text for one in read(answer.text).one("fieldset", "both").every("dd")]
    assert both == ["10 January 2027 to 20 January 2027", "from 1 February 2027 on"]
    again = form_of(read(answer.text), "/away")
    assert again["since"] == "2027-02-01"
    then = everything(house)
    send(house, "/away", **again, take=["dates"])
    assert everything(house) == then
    send(house, "/away", **again)
    assert "From Monday 1 February" in see(house, "/away").text


def test_the_small_form_of_todays_page_undoes_no_other_change(house: House) -> None:
    house.live(10, "missed")
    page = see(house, "/today")
    address = "/steps/bed-made/adjust"
    small = form_of(page, address) | {"slot": "evening"}
    assert small["seen"].startswith("slot=")
    send(house, address, cue="after tea")
    assert send(house, address, **small) == "/today?said=saved"
    assert house.day()["checklist"][0]["slot"] == "evening"
    answer = house.http.post(address, data=small | {"slot": "anytime"})
    assert answer.status_code == 409
    page = read(answer.text)
    assert [one.text for one in page.one("fieldset", "both").every("dd")] == ["Evening", "Anytime"]
    whole = form_of(page, address)
    assert (whole["slot"], whole["cue"], whole["title"]) == ("anytime", "after tea", "Make the bed")
    send(house, address, **whole)
    assert house.day()["checklist"][0]["slot"] == "anytime"


def test_a_rule_that_the_form_cannot_show_is_kept_as_it_is_now(house: House) -> None:
    address = "/steps/bed-made/adjust"
    ask(house, "PATCH", "/api/steps/bed-made", {"repeats": "FREQ=DAILY;INTERVAL=2"})
    shown = form_of(see(house, "/steps/bed-made"), address)
    assert shown["rule"] == "FREQ=DAILY;INTERVAL=2"
    ask(house, "PATCH", "/api/steps/bed-made", {"repeats": "FREQ=DAILY;INTERVAL=3"})
    send(house, address, **(shown | {"cue": "after tea"}))
    step = ask(house, "GET", "/api/steps/bed-made")
    assert (step["cue"], step["repeats"]) == ("after tea", "FREQ=DAILY;INTERVAL=3")


def _line_ids(house: House) -> list[str]:
    return [line["line"] for line in ask(house, "GET", f"/api{JOB}")["lines"]]


def _lines_form(house: House) -> dict[str, Any]:
    return form_of(see(house, f"{JOB}/lines"), f"{JOB}/lines")


def test_a_line_moves_once_however_often_one_taps(house: House) -> None:
    six_lines(house)
    form = _lines_form(house) | {"do": "up:3"}
    first = send(house, f"{JOB}/lines", **form)
    assert send(house, f"{JOB}/lines", **form) == first
    assert _line_ids(house) == ["1", "3", "2", "4", "5", "6"]


def test_lines_that_two_people_add_are_both_kept_with_what_each_moved(house: House) -> None:
    six_lines(house)
    shown = _lines_form(house)
    send(house, f"{JOB}/lines", **changed(shown, {"title:6": "Ferns", "minutes:6": "4"}))
    send(house, f"{JOB}/lines", **(_lines_form(house) | {"do": "up:7"}))
    send(house, f"{JOB}/lines", **(changed(shown, {"title:6": "Windows"}) | {"do": "up:2"}))
    titles = {one["line"]: one["title"] for one in ask(house, "GET", f"/api{JOB}")["lines"]}
    assert _line_ids(house) == ["2", "1", "3", "4", "5", "7", "6", "8"]
    assert (titles["7"], titles["8"]) == ("Ferns", "Windows")


@pytest.mark.parametrize(
    ("theirs", "ours", "both"),
    [
        ({"do": "remove:2"}, {"title:1": "Sills"}, ["nothing", "Sills"]),
        ({"title:1": "Sills"}, {"do": "remove:2"}, ["Sills", "nothing"]),
    ],
)
@pytest.mark.parametrize("take", [True, False])
def test_a_line_that_one_takes_away_and_another_changes_is_asked_whole(
    house: House, theirs: dict[str, str], ours: dict[str, str], both: list[str], *, take: bool
) -> None:
    six_lines(house)
    shown = _lines_form(house)
    send(house, f"{JOB}/lines", **changed(shown, theirs))
    answer = house.http.post(f"{JOB}/lines", data=changed(shown, ours))
    assert answer.status_code == 409
    page = read(answer.text)
    assert [one.text for one in page.one("fieldset", "both").every("dd")] == both
    again = form_of(page, f"{JOB}/lines") | {"do": "save", "take": ["title:2"] if take else []}
    send(house, f"{JOB}/lines", **again)
    lines = [(one["title"], one["minutes"]) for one in ask(house, "GET", f"/api{JOB}")["lines"]]
    stays = "Sills" in (both[0] if take else both[1])
    assert len(lines) == (6 if stays else 5)
    assert [line for line in lines if line[0] == "Sills"] == ([("Sills", 10)] if stays else [])


def test_going_back_to_the_first_lines_undoes_nothing_unseen(house: House) -> None:
    grown(house)
    send(house, f"{JOB}/lines", **changed(_lines_form(house), {"title:0": "Basket"}))
    address = f"{JOB}/lines/restore"
    back = form_of(see(house, f"{JOB}/lines"), address)
    send(house, f"{JOB}/lines", **changed(_lines_form(house), {"title:1": "Sills"}))
    answer = house.http.post(address, data=back)
    assert answer.status_code == 409
    assert "Somebody has changed these lines" in read(answer.text).one(id="trouble").text
    fresh = form_of(read(answer.text), address)
    assert send(house, address, **fresh) == send(house, address, **fresh)
    assert _line_ids(house) == list("123")


def test_the_minutes_of_a_job_are_counted_as_the_button_said(house: House) -> None:
    grown(house)
    send(house, f"{JOB}/lines", **changed(_lines_form(house), {"minutes:0": "33"}))
    address = f"{JOB}/minutes"
    count = form_of(see(house, f"{JOB}/lines"), address)
    ask(house, "PATCH", "/api/steps/out-and-back", {"minutes": 11})
    answer = house.http.post(address, data=count)
    assert answer.status_code == 409
    both = [one.text for one in read(answer.text).one("fieldset", "both").every("dd")]
    assert both == ["11", count["minutes"]]
    send(house, address, **form_of(read(answer.text), address))
    assert ask(house, "GET", "/api/steps/out-and-back")["minutes"] == int(count["minutes"])


def test_only_the_move_that_was_shown_is_moved_back_and_only_once(house: House) -> None:
    grown(house)
    ask(house, "POST", f"/api{JOB}/move", {"on": "2027-02-06", "to": "2027-02-03"})
    undo = form_of(see(house, "/week"), "/week/undo")
    ask(house, "POST", f"/api{JOB}/move", {"on": "2027-02-03", "to": "2027-02-04"})
    answer = house.http.post("/week/undo", data=undo)
    assert answer.status_code == 409
    assert "Something else was moved" in read(answer.text).one(id="trouble").text
    fresh = form_of(read(answer.text), "/week/undo")
    assert send(house, "/week/undo", **fresh) == "/week?said=moved-back"
    then = everything(house)
    assert send(house, "/week/undo", **fresh) == "/week?said=moved-back"
    assert everything(house) == then


def test_a_move_is_made_once_and_not_after_somebody_elses(house: House) -> None:
    grown(house)
    address = f"{JOB}/move"
    move = form_of(see(house, "/week/2027-W05"), address) | {"to": "2027-02-03"}
    first = send(house, address, **move)
    then = everything(house)
    assert send(house, address, **move) == first
    assert everything(house) == then
    assert house.http.post(address, data=move | {"to": "2027-02-04"}).status_code == 422
    assert everything(house) == then


def test_a_proposal_is_accepted_once_and_only_for_the_week_it_was_made_for(house: House) -> None:
    grown(house)
    ask(house, "PUT", "/api/available", {"minutes": {"SA": 30, "TU": 60}})
    address = "/week/2027-W05/balance"
    stale = form_of(see(house, address), address)
    assert stale["move"]
    ask(house, "PUT", "/api/available", {"minutes": {"SU": 7}})
    then = everything(house)
    answer = house.http.post(address, data=stale)
    assert answer.status_code == 409
    assert everything(house) == then
    fresh = form_of(read(answer.text), address)
    first = send(house, address, **fresh)
    then = everything(house)
    assert send(house, address, **fresh) == first
    assert everything(house) == then


def test_a_favourite_replaces_no_dinner_unseen(house: House) -> None:
    ask(house, "POST", "/api/favourites", {"dish": "Pancakes"})
    address = "/dinner/favourites/pancakes/put"
    form = form_of(see(house, "/dinner/favourites"), address) | {"on": TUESDAY}
    ask(house, "PUT", f"/api/dinners/{TUESDAY}", {"dish": "Soup"})
    answer = house.http.post(address, data=form)
    assert answer.status_code == 409
    page = read(answer.text)
    assert [one.text.split(" at")[0] for one in page.one("fieldset", "both").every("dd")] == [
        "Soup",
        "Pancakes",
    ]
    again = form_of(page, address)
    send(house, address, **again, take=[TUESDAY])
    assert ask(house, "GET", f"/api/dinners/{TUESDAY}")["dinner"]["dish"] == "Soup"
    send(house, address, **(again | {"on": "2027-01-06"}))
    assert ask(house, "GET", "/api/dinners/2027-01-06")["dinner"]["dish"] == "Pancakes"
    send(house, address, **again)
    assert ask(house, "GET", f"/api/dinners/{TUESDAY}")["dinner"]["dish"] == "Pancakes"


def test_an_answer_for_today_replaces_no_dinner_unseen(house: House) -> None:
    ask(house, "PUT", "/api/dinners/2027-01-04", {"dish": "Soup"})
    answer = house.http.post("/dinner/2027-01-04/dish", data={"dish": "Toast"})
    assert answer.status_code == 409
    page = read(answer.text)
    assert [one.text.split(" at")[0] for one in page.one("fieldset", "both").every("dd")] == ["Soup", "Toast"]
    send(house, "/dinner", **form_of(page, "/dinner"))
    assert ask(house, "GET", "/api/dinners/2027-01-04")["dinner"]["dish"] == "Toast"


def test_where_both_stand_is_said_above_everything_and_nothing_is_where_nobody_was(house: House) -> None:
    page = see(house, "/steps/bed-made")
    assert page.one(id="trouble").inside == []
    form = form_of(page, "/steps/bed-made/adjust")
    send(house, "/steps/bed-made/adjust", cue="after tea")
    answer = house.http.post("/steps/bed-made/adjust", data=form | {"cue": "after coffee"})
    page = read(answer.text)
    link = page.one(id="trouble").one("a").attributes["href"]
    assert page.one(id=link.removeprefix("#")).tag == "fieldset"
