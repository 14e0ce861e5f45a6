"""The pages of the week: forms that work without JavaScript, and agree with the JSON."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import pytest

from coach.web.pages.week.fence import HIGHEST
from coach.week.rules import balance as core
from web.markup import read
from web.week.house import JOB, SATURDAY, grown, see, send

if TYPE_CHECKING:
    from collections.abc import Callable

    from web.house import House
    from web.markup import Element

PAGES = ("/week", "/week/2027-W05", "/week/2027-W03", "/week/2027-W05/balance", JOB, f"{JOB}/lines",
         "/jobs/papers")  # fmt: skip
CLOSED = {"kept": "Kept", "small": "Small version", "missed": "Missed", "excused": "Excused",
          "forgotten": "Not counted"}  # fmt: skip


def as_it_is(_: House) -> None:
    """Nothing else has happened."""


def with_minutes(house: House) -> None:
    house.http.put("/api/available", json={"minutes": {"SA": 60, "SU": 60, "TU": 30}})


def with_marks(house: House) -> None:
    house.mark("out-and-back", "small")
    house.mark("bed-made", "excused")


def away(house: House) -> None:
    house.http.post("/api/pause", json={"from": "2027-02-02", "until": "2027-02-04"})


def lapsed(house: House) -> None:
    house.sleep(12)


STORIES = [as_it_is, with_minutes, with_marks, away, lapsed]


@pytest.mark.parametrize("story", STORIES)
@pytest.mark.parametrize("name", ["", "/2027-W03", "/2027-W05"])
def test_the_week_shows_what_the_json_tells(house: House, story: Callable[[House], None], name: str) -> None:
    story(grown(house))
    told, page = house.http.get(f"/api/week{name}").json(), see(house, f"/week{name}")
    for day in told["days"]:
        shown = page.one("li", id=f"day-{day['date']}")
        for due in (*day["jobs"], *day["earlier"], *day["habits"]):
            assert due["title"] in shown.text
        closed = [CLOSED[job["closed"]] for job in day["jobs"] if job["closed"]]
        assert all(word in shown.one("ul", "jobs").text for word in closed)
        assert (day["overload_text"] or "") in shown.text
        post = page.one("ol", "fence").one("a", href=f"#day-{day['date']}")
        assert str(day["minutes"]) in post.one("span", "figure").text
        assert day["rest"] or f"{day['minutes']}" in shown.one("p", "figure").text
        assert len(list(shown.every("form"))) == len([job for job in day["jobs"] if job["days"]])
        assert [button.attributes["value"] for button in shown.every("button")] == [
            to for job in day["jobs"] for to in job["days"]
        ]
    assert len(list(page.every("li", "day"))) == 7


def post_of(page: Element, day: str) -> Element:
    """The drawing of a day's post."""
    return page.one("ol", "fence").one("a", href=f"#day-{day}").one("svg", "post")


def length(shape: Element, name: str = "height") -> float:
    return float(shape.attributes[name].removesuffix("%"))


def test_posts_are_as_tall_as_the_minutes_and_striped_above_the_rail(house: House) -> None:
    with_minutes(grown(house))
    days = house.http.get("/api/week").json()["days"]
    a_minute = HIGHEST / max(max(day["minutes"], day["available"] or 0) for day in days)
    saturday = next(day for day in days if day["date"] == SATURDAY)
    post = post_of(see(house, "/week"), SATURDAY)
    assert length(post.one("rect", "due")) == pytest.approx(60 * a_minute, abs=0.1)
    assert length(post.one("rect", "over")) == pytest.approx(saturday["overload"] * a_minute, abs=0.1)
    assert post.one("rect", "over").attributes["fill"] == "url(#over)"
    rail = post.one("line", "rail")
    assert length(rail, "y1") == length(rail, "y2") == pytest.approx(100 - 60 * a_minute, abs=0.1)


def test_a_day_of_which_no_minutes_are_said_has_a_post_without_a_rail(house: House) -> None:
    page = see(grown(house), "/week")
    assert len(list(page.one("ol", "fence").every("svg", "post"))) == 7
    assert not list(page.every("line", "rail"))
    with_minutes(house)
    page = see(house, "/week/2027-W05")
    railed = {day for day in range(1, 8) if list(post_of(page, f"2027-02-0{day}").every("line", "rail"))}
    assert railed == {2, 6, 7}


def test_a_day_that_is_over_is_said_once_in_words(house: House) -> None:
    with_minutes(grown(house))
    page = see(house, "/week")
    assert page.text.count("Saturday is 23 minutes over.") == 1
    assert page.one("li", id=f"day-{SATURDAY}").one("div", "overload").one("a").text == "Look for other days"
    assert len([link for link in page.every("a") if "balance" in link.attributes["href"]]) == 1


def test_the_fence_says_to_a_screen_reader_what_it_shows(house: House) -> None:
    with_minutes(grown(house))
    today = see(house, "/week").one("ol", "fence").one("a", **{"aria-current": "date"})
    assert today.one("span", "hidden").text == "Saturday 30 January: 83 of 60 minutes"


def test_a_week_that_begins_on_sunday_has_its_posts_and_days_in_that_order(house: House) -> None:
    grown(house)
    form = {"zone": "UTC", "day_starts": "03:00", "minutes": "", "week_starts": "sunday"}
    assert house.http.post("/settings", data=form).status_code == 303
    page = see(house, "/week/2027-W05")
    posts = [link.attributes["href"] for link in page.one("ol", "fence").every("a")]
    assert posts == [f"#{day.attributes['id']}" for day in page.every("li", "day")]
    assert (posts[0], posts[-1]) == ("#day-2027-01-31", "#day-2027-02-06")


def away_all_week(house: House) -> None:
    grown(house).http.post("/api/pause", json={"from": SATURDAY, "until": "2027-02-20"})


def lapsed_now(house: House) -> None:
    grown(house).sleep(12)


@pytest.mark.parametrize(
    ("story", "words", "leads"),
    [
        (as_it_is, "There are no weekday jobs yet.", "/path"),
        (away_all_week, "You are away, so nothing is due", "/away"),
        (lapsed_now, "Your list waits for you, made smaller.", "/today"),
    ],
)
def test_an_empty_week_has_a_drawing_and_the_one_thing_to_do_next(
    house: House, story: Callable[[House], None], words: str, leads: str
) -> None:
    story(house)
    empty = see(house, "/week").one("section", "empty")
    assert words in empty.text
    assert len(list(empty.every("svg", "line-drawing"))) == 1
    assert [link.attributes["href"] for link in empty.every("a")] == [leads]


def test_balance_is_offered_only_while_a_job_can_move(house: House) -> None:
    assert not list(see(house, "/week").every("section", "balance-way"))
    grown(house)
    assert list(see(house, "/week").every("section", "balance-way"))
    house.http.post("/api/pause", json={"from": SATURDAY, "until": "2027-02-20"})
    assert not list(see(house, "/week").every("section", "balance-way"))


def test_a_past_week_has_nothing_to_change(house: House) -> None:
    page = see(grown(house), "/week/2027-W03")
    assert not list(page.one("main").every("form"))
    assert not list(page.one("main").every("button"))


@pytest.mark.parametrize(
    ("name", "status", "said"),
    [
        ("2027-W54", 422, "The year 2027 has no week 54. Weeks run from 1 to 52 or 53."),
        ("2027-W5", 422, "Write it as year and week number, such as 2027-W05."),
        ("2026-W40", 404, "before the start"),
    ],
)
def test_a_week_there_is_none_of_is_explained(house: House, name: str, status: int, said: str) -> None:
    answer = house.http.get(f"/week/{name}")
    assert answer.status_code == status
    assert said in read(answer.text).one("main").text


@pytest.mark.parametrize("path", PAGES)
def test_every_page_has_one_heading_unique_ids_labels_and_nothing_inline(house: House, path: str) -> None:
    with_minutes(grown(house))
    page = see(house, path)
    assert len(list(page.every("h1"))) == 1
    ids = [element.attributes["id"] for element in page.every() if "id" in element.attributes]
    assert len(ids) == len(set(ids))
    labelled = {label.attributes.get("for") for label in page.every("label")}
    fields = [one for one in page.every("input") if one.attributes.get("type") != "hidden"]
    assert all(one.attributes["id"] in labelled for one in fields)
    assert all("src" in script.attributes for script in page.every("script"))
    assert not [e for e in page.every() if "style" in e.attributes or e.tag == "style"]


def test_the_pager_leads_from_week_to_week(house: House) -> None:
    grown(house)
    ways = {link.attributes.get("rel", link.text): link.attributes["href"] for link in
            see(house, "/week/2027-W05").one("nav", "pager").every("a")}  # fmt: skip
    assert ways == {
        "prev": "/week/2027-W04",
        "This week": "/week",
        "next": "/week/2027-W06",
        "Week sheet": "/sheet/2027-W05",
    }
    first = see(house, "/week/2027-W01").one("nav", "pager")
    assert [link.text for link in first.every("a")] == ["This week", "Week after", "Week sheet"]


def test_a_job_is_moved_and_moved_back_by_forms(house: House) -> None:
    grown(house)
    form = {"on": "2027-02-06", "to": "2027-02-03", "week": "2027-W05"}
    assert send(house, f"{JOB}/move", **form) == "/week/2027-W05?said=moved"
    page = see(house, "/week/2027-W05?said=moved")
    assert page.one(id="said").text == "Moved. It holds from today on."
    assert "every Wednesday now, next on Wednesday 3 February" in page.one("section", "moved").text
    assert "Out and back" in page.one("li", id="day-2027-02-03").text
    assert send(house, "/week/undo", week="2027-W05") == "/week/2027-W05?said=moved-back"
    assert not list(see(house, "/week/2027-W05").every("section", "moved"))


def test_a_move_that_cannot_be_is_explained_above_the_week(house: House) -> None:
    grown(house)
    house.mark("out-and-back")
    answer = house.http.post(f"{JOB}/move", data={"on": SATURDAY, "to": "2027-01-31"})
    page = read(answer.text)
    assert answer.status_code == 409
    assert "marked today" in page.one(id="trouble").text
    assert "Out and back" in page.one("li", id=f"day-{SATURDAY}").text
    assert house.http.post("/week/undo").status_code == 409


def test_minutes_are_typed_in_and_a_fault_is_explained(house: House) -> None:
    grown(house)
    assert send(house, "/week/available", SA="90", SU="") == "/week?said=saved"
    page = see(house, "/week")
    assert page.one("input", id="available-SA").attributes["value"] == "90"
    assert page.one("input", id="available-SU").attributes["value"] == ""
    answer = house.http.post("/week/available", data={"SA": "a lot"})
    assert answer.status_code == 422
    assert "“a lot” is no number of minutes for Saturday" in read(answer.text).one(id="trouble").text
    assert house.http.get("/api/available").json()["minutes"]["SA"] == 90


def test_the_proposal_is_shown_before_and_after_side_by_side_and_accepted_with_one_tap(house: House) -> None:
    with_minutes(grown(house))
    told, page = house.http.get("/api/balance?week=2027-W05").json(), see(house, "/week/2027-W05/balance")
    fences = [[int(one.one("span", "figure").text.split()[0]) for one in fence.every("li")]
              for fence in page.every("ol", "fence")]  # fmt: skip
    assert fences == [[day["minutes"] for day in told[which]["days"]] for which in ("before", "after")]
    log = house.http.get("/api/log.csv").text
    form = page.one("main").one("form")
    moves = [one.attributes["value"] for one in form.every("input") if one.attributes["name"] == "move"]
    assert moves == [f"{move['step']}:{move['to']}" for move in told["moves"]]
    assert house.http.get("/api/log.csv").text == log
    assert send(house, form.attributes["action"], move=moves) == "/week/2027-W05?said=balanced"
    days = house.http.get("/api/week/2027-W05").json()["days"]
    assert [day["minutes"] for day in days] == [day["minutes"] for day in told["after"]["days"]]
    send(house, "/week/undo")
    assert house.http.get("/api/balance?week=2027-W05").json() == told


def test_a_proposal_whose_time_was_up_says_so_on_the_page_and_in_json(
    house: House, monkeypatch: pytest.MonkeyPatch
) -> None:
    with_minutes(grown(house))
    monkeypatch.setattr(core, "propose", partial(core.propose, seconds=0))
    told, page = house.http.get("/api/balance?week=2027-W05").json(), see(house, "/week/2027-W05/balance")
    assert not told["proven"]
    assert "The search was ended when its time was up" in told["text"]
    assert page.one("p", "lead").text == told["text"]


def test_a_stale_proposal_is_shown_anew_with_the_reason(house: House) -> None:
    with_minutes(grown(house))
    answer = house.http.post("/week/2027-W05/balance", data={"move": ["moon:2027-02-03"]})
    assert answer.status_code == 409
    assert "has changed" in read(answer.text).one(id="trouble").text
    assert house.http.post("/week/2027-W05/balance", data={"move": ["soon"]}).status_code == 422


def test_what_was_kept_in_memory_is_shown_anew_after_a_change(house: House) -> None:
    grown(house)
    before = see(house, "/week")
    assert see(house, "/week").text == before.text
    house.mark("out-and-back")
    assert "Kept" in see(house, "/week").one("li", id=f"day-{SATURDAY}").text
    house.sleep()
    assert see(house, "/week").one("li", "today").attributes["id"] == "day-2027-01-31"


@pytest.mark.parametrize(
    ("days", "words"), [(1, "Monday"), (2, "Monday and Tuesday"), (3, "Monday to Wednesday")]
)
def test_the_days_gone_by_are_named_as_people_name_them(house: House, days: int, words: str) -> None:
    house.sleep(days)
    assert see(house, "/week").one("details", "gone").one("summary").text == f"{words}, gone by"
