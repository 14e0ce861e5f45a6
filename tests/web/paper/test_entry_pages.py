"""`/sheet/…/enter`: the boxes as they stand, ticked and emptied by a form, saved as a whole or not at all."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from web.at_home import HomeHouse
from web.kitchen.full_week import ask
from web.markup import Element, read
from web.test_two_people_rooms import form_of
from web.week.house import grown

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from httpx2 import Response

    from web.house import House

WEEK = "/sheet/2027-W04/enter"
LAST_WEEK = "/sheet/2027-W03/enter"
BED = "Make the bed"
FRIDAY, SATURDAY = "2027-01-29", "2027-01-30"


@pytest.fixture
def lived(empty: House) -> House:
    """A house on a Saturday, with everything kept before it."""
    return grown(empty)


def see(house: House, path: str = WEEK) -> Element:
    answer = house.http.get(path)
    assert answer.status_code == 200, answer.text
    return read(answer.text)


def boxes(page: Element) -> dict[str, str]:
    """By name what the boxes that can be tapped say: `-` before it where they are empty."""
    found = {}
    for one in page.every("input", name="", type="checkbox"):
        if one.attributes["name"] == "tick":
            name, _, text = one.attributes["value"].partition("=")
            found[name] = text if "checked" in one.attributes else f"-{text}"
    return found


def tapped(page: Element, *names: str, path: str = WEEK) -> dict[str, Any]:
    """What the form sends once these boxes were tapped."""
    form = form_of(page, path)
    ticks = form.get("tick", [])
    ticked = dict(one.split("=", 1) for one in ([ticks] if isinstance(ticks, str) else ticks))
    for name in names:
        text = boxes(page)[name]
        if ticked.pop(name, None) is None or text.startswith("-"):
            ticked[name] = text.removeprefix("-")
    return form | {"tick": [f"{name}={text}" for name, text in ticked.items()]}


def send(house: House, form: dict[str, Any], path: str = WEEK) -> Response:
    return house.http.post(path, data=form)


def marks(house: House) -> dict[tuple[str, str], str]:
    """The last row of the log by date and step."""
    rows = (line.split(",") for line in house.http.get("/api/log.csv").text.splitlines()[1:])
    return {(row[0], row[2]): row[1] for row in rows}


def test_a_box_stands_for_each_line_and_day_up_to_today(lived: House) -> None:
    found = boxes(see(lived))
    days = [name[:10] for name in found if name.endswith("/bed-made")]
    assert days == ["2027-01-25", "2027-01-26", "2027-01-27", "2027-01-28", FRIDAY, SATURDAY]
    assert found[f"{FRIDAY}/bed-made"] == "kept"
    assert found[f"{SATURDAY}/bed-made"] == "-kept"


def test_a_tap_on_an_empty_box_keeps_its_line_and_one_on_a_full_one_takes_the_mark_back(lived: House) -> None:
    form = tapped(see(lived), f"{SATURDAY}/bed-made", f"{FRIDAY}/bed-made")
    answer = send(lived, form)
    assert (answer.status_code, answer.headers["location"]) == (303, f"{WEEK}?said=entered")
    assert marks(lived)[SATURDAY, "bed-made"] == "kept"
    assert marks(lived)[FRIDAY, "bed-made"] == "clear"
    assert "Entered." in see(lived, answer.headers["location"]).one("main").text


@pytest.mark.parametrize(
    ("mark", "stands", "says", "then"),
    [
        ("small", "small", ": small version", "clear"),
        ("missed", "-kept", ": kept instead of missed", "kept"),
        ("excused", "-kept", ": kept instead of excused", "kept"),
    ],
)
def test_a_box_with_another_mark_stays_as_it_is_unless_it_is_tapped(
    lived: House, mark: str, stands: str, says: str, then: str
) -> None:
    lived.mark("bed-made", mark)
    page = see(lived)
    assert boxes(page)[f"{SATURDAY}/bed-made"] == stands
    ticks = page.every("input", type="checkbox", value=f"{SATURDAY}/bed-made={stands.removeprefix('-')}")
    assert [one.attributes["aria-label"].endswith(says) for one in ticks] == [True]
    assert ("A missed or excused one becomes kept." in page.one("main").text) is (then == "kept")
    before = lived.http.get("/api/log.csv").text
    assert send(lived, tapped(page)).status_code == 303
    assert lived.http.get("/api/log.csv").text == before
    send(lived, tapped(page, f"{SATURDAY}/bed-made"))
    assert marks(lived)[SATURDAY, "bed-made"] == then


def test_only_what_differs_is_written_and_sent_twice_it_is_the_same(lived: House) -> None:
    form = tapped(see(lived), f"{SATURDAY}/bed-made")
    rows = len(lived.http.get("/api/log.csv").text.splitlines())
    for _ in range(2):
        assert send(lived, form).status_code == 303
        assert len(lived.http.get("/api/log.csv").text.splitlines()) == rows + 1


def test_days_that_are_too_long_ago_are_shown_and_said_to_be_too_late(lived: House) -> None:
    page = see(lived, LAST_WEEK)
    assert {name[:10] for name in boxes(page) if name[0] == "2"} == {"2027-01-23", "2027-01-24"}
    said = page.one("main").text
    assert "Monday 18 January to Friday 22 January can no longer be entered" in said
    assert "too late for this week" in see(lived, "/sheet/2027-W02/enter").one("main").text
    assert not list(see(lived, "/sheet/2027-W02/enter").every("button", "main"))


def test_a_week_to_come_has_nothing_to_enter(lived: House) -> None:
    page = see(lived, "/sheet/2027-W05/enter")
    assert not boxes(page)
    assert "Nothing of this week can be entered yet." in page.one("main").text


def test_a_day_that_became_too_late_meanwhile_refuses_all_and_keeps_what_was_ticked(lived: House) -> None:
    form = tapped(see(lived, LAST_WEEK), "2027-01-23/bed-made", "2027-01-24/bed-made", path=LAST_WEEK)
    before = marks(lived)
    lived.sleep()
    answer = send(lived, form, LAST_WEEK)
    assert answer.status_code == 409
    page = read(answer.text)
    assert "23 January 2027 can no longer be changed" in page.one("div", id="trouble").text
    assert boxes(page)["2027-01-24/bed-made"] == "-kept"
    assert marks(lived) == before
    assert send(lived, tapped(page, path=LAST_WEEK), LAST_WEEK).status_code == 303
    assert marks(lived)["2027-01-24", "bed-made"] == "clear"


def test_a_mark_that_somebody_else_changed_meanwhile_is_shown_beside_ones_own(lived: House) -> None:
    form = tapped(see(lived), f"{SATURDAY}/bed-made", f"{FRIDAY}/bed-made")
    lived.mark("bed-made", "missed")
    answer = send(lived, form)
    assert answer.status_code == 409
    page = read(answer.text)
    both = page.one("fieldset", "both")
    assert f"{BED}, Saturday 30 January" in both.text
    assert [one.text for one in both.every("dd")] == ["Missed", "Kept"]
    assert marks(lived)[SATURDAY, "bed-made"] == "missed"
    assert marks(lived)[FRIDAY, "bed-made"] == "kept"
    assert boxes(page)[f"{SATURDAY}/bed-made"] == "kept"
    taking = tapped(page) | {"take": f"{SATURDAY}/bed-made"}
    assert send(lived, taking).status_code == 303
    assert marks(lived)[SATURDAY, "bed-made"] == "missed"
    assert marks(lived)[FRIDAY, "bed-made"] == "clear"


def test_ones_own_is_kept_where_nothing_else_is_chosen(lived: House) -> None:
    form = tapped(see(lived), f"{SATURDAY}/bed-made")
    lived.mark("bed-made", "missed")
    page = read(send(lived, form).text)
    assert send(lived, tapped(page)).status_code == 303
    assert marks(lived)[SATURDAY, "bed-made"] == "kept"


def test_what_others_changed_elsewhere_on_the_sheet_stays(lived: House) -> None:
    form = tapped(see(lived), f"{SATURDAY}/bed-made")
    lived.mark("table-cleared", "small")
    assert send(lived, form).status_code == 303
    assert marks(lived)[SATURDAY, "bed-made"] == "kept"
    assert marks(lived)[SATURDAY, "table-cleared"] == "small"


def test_a_job_is_entered_on_the_date_on_which_it_was_done(lived: House) -> None:
    lived.sleep()
    name = f"job/{SATURDAY}/out-and-back"
    page = see(lived)
    assert [one.attributes["value"] for one in page.every("option")] == [
        f"{name}={SATURDAY}", f"{name}=2027-01-31",
    ]  # fmt: skip
    form = tapped(page, name) | {"on": f"{name}=2027-01-31"}
    assert send(lived, form).status_code == 303
    assert marks(lived)["2027-01-31", "out-and-back"] == "kept"
    page = see(lived)
    assert boxes(page)[name] == "kept@2027-01-31"
    send(lived, tapped(page, name))
    assert marks(lived)["2027-01-31", "out-and-back"] == "clear"


def test_a_task_of_the_area_is_finished_on_the_date_that_is_chosen(lived: House) -> None:
    ask(lived, "POST", "/api/areas/set-up", {"rooms": ["Kitchen", "Bath"]})
    task = ask(lived, "GET", "/api/area-week")["areas"][0]["listed"][0]["task"]
    page = see(lived)
    assert list(page.every("select"))
    area = boxes(page)[f"task/{task}"].removeprefix("-@")
    send(lived, tapped(page, f"task/{task}") | {"on": f"{area}={FRIDAY}"})
    assert ask(lived, "GET", "/api/area-week")["areas"][0]["listed"][0]["done"] == FRIDAY
    send(lived, tapped(see(lived), f"task/{task}"))
    assert ask(lived, "GET", "/api/area-week")["areas"][0]["listed"][0]["done"] is None


def test_a_due_is_seen_to(lived: House) -> None:
    ask(lived, "POST", "/api/dues", {"name": "Rent", "on": SATURDAY})
    due = ask(lived, "GET", "/api/dues")["dues"][0]["id"]
    name = f"due/{SATURDAY}/{due}"
    assert send(lived, tapped(see(lived), name)).status_code == 303
    assert [one["due"] for one in ask(lived, "GET", "/api/dues")["seen_to"]] == [due]
    assert name not in boxes(see(lived))


@pytest.mark.parametrize("tick", ["nonsense", "2027-13-01/bed-made=kept", "job/2027-01-30/x=kept@soon"])
def test_what_is_no_box_is_refused_in_words(lived: House, tick: str) -> None:
    answer = send(lived, tapped(see(lived)) | {"tick": [tick]})
    assert answer.status_code in {409, 422}
    assert "trouble" in answer.text
    assert marks(lived)[FRIDAY, "bed-made"] == "kept"


@pytest.fixture
def home(tmp_path: Path) -> Iterator[HomeHouse]:
    house = HomeHouse(tmp_path)
    grown(house)
    yield house
    house.close()


def test_what_is_entered_from_paper_is_by_nobody(home: HomeHouse) -> None:
    ana = home.paired("Ana")
    home.paired("Ben", 8)
    page = read(ana.get(WEEK).text)
    assert ana.post(WEEK, data=tapped(page, f"{SATURDAY}/bed-made")).status_code == 303
    with home.app.state.context.store.reading("home") as reading:
        signed = reading.signed(home.today, home.today)
    assert [(one.step, one.by) for one in signed] == [("bed-made", "")]
