"""`/month` and `/api/months`: days as gates with their words, by weeks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from web.markup import read

if TYPE_CHECKING:
    from web.house import House
    from web.markup import Element


def see(house: House, path: str = "/month") -> Element:
    return read(house.http.get(path).text)


def cell(page: Element, day: str) -> Element:
    """A day's place in the calendar."""
    return next(one for one in page.every("td") if f" {day} January:" in one.text)


def as_json(house: House, month: str = "2027-01") -> dict[str, Any]:
    return dict(house.http.get(f"/api/months/{month}").json())


def test_each_day_has_a_gate_words_and_a_way_to_its_page(house: House) -> None:
    house.live(3)
    house.sleep(2)
    page = see(house)
    kept, unmarked, today = (cell(page, day) for day in ("4", "7", "9"))
    assert "Monday 4 January: kept 1 of 1" in kept.text
    assert kept.one("a").attributes["href"] == "/days/2027-01-04"
    assert len(list(kept.every("path", "lifted"))) == 3
    assert "kept 0 of" in unmarked.text
    assert not list(unmarked.every("path", "lifted"))
    assert len(list(unmarked.every("path", "bar"))) == 3
    assert "so far" in today.text
    assert today.one("a").attributes["href"] == "/today"
    assert not list(cell(page, "10").every("a"))


def test_a_bar_is_lifted_for_each_whole_third_that_was_kept(house: House) -> None:
    house.live(12)
    on = "2027-01-13"
    lines = house.http.get(f"/api/days/{on}").json()["checklist"]
    for line in lines[1:]:
        house.http.put(f"/api/days/{on}/marks/{line['step']}", json={"mark": "missed"})
    day = next(day for day in as_json(house)["days"] if day["date"] == on)
    assert (day["kept"], day["of"]) == (1, len(lines))
    assert len(lines) > 3
    assert not list(cell(see(house), "13").every("path", "lifted"))
    for line in lines[: -(-len(lines) * 2 // 3)]:
        house.http.put(f"/api/days/{on}/marks/{line['step']}", json={"mark": "small"})
    assert len(list(cell(see(house), "13").every("path", "lifted"))) == 2


def test_the_sentence_says_what_the_json_says(house: House) -> None:
    house.live(5)
    house.sleep(2)
    found, page = as_json(house), see(house)
    assert f"Kept {found['kept']} of {found['of']} in January" in page.text
    assert found["kept"] == sum(day["kept"] for day in found["days"] if day["state"] != "today")
    assert found["kept"] < found["of"]
    assert found["came"][0]["step"] == "bed-made"
    assert "Settled in January" in page.text


def test_away_days_have_no_bars(house: House) -> None:
    house.live(1)
    house.http.post("/api/pause")
    house.sleep(2)
    found = cell(see(house), "5")
    assert "Tuesday 5 January: away" in found.text
    assert not list(found.every("path", "bar"))


def test_a_day_on_which_all_was_excused_had_lines_but_none_that_counted(house: House) -> None:
    house.live(1, "excused")
    page = see(house)
    assert "Monday 4 January: no line counted" in cell(page, "4").text
    assert "On no day of January that is over has a line counted" in page.text
    assert "nothing was due" not in page.text


def test_weeks_begin_on_the_households_weekday(house: House) -> None:
    assert see(house).one("th").text == "Mo Monday"
    settings = {"zone": "UTC", "day_starts": "03:00", "minutes": "", "week_starts": "sunday"}
    house.http.post("/settings", data=settings)
    page = see(house)
    assert page.one("th").text == "Su Sunday"
    assert [len(list(row.every("td"))) for row in page.one("tbody").every("tr")] == [7] * 6


def test_months_lead_to_those_beside_them(house: House) -> None:
    house.sleep(40)
    page = see(house)
    assert "February 2027" in page.one("h1").text
    before = page.one("a", rel="prev").attributes["href"]
    assert before == "/month/2027-01"
    assert see(house, before).one("a", rel="next").attributes["href"] == "/month/2027-02"
    assert not list(see(house, before).every("a", rel="prev"))


def test_months_beyond_are_not_there_and_no_month_cannot_be_read(house: House) -> None:
    for path in ("/month/", "/api/months/"):
        assert [house.http.get(f"{path}{name}").status_code for name in ("2026-12", "2027-02")] == [404] * 2
        assert house.http.get(f"{path}2027-13").status_code == 422
