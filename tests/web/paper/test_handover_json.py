"""`/api/handover`: the same answers for programs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from web.kitchen.full_week import ask

if TYPE_CHECKING:
    from web.house import House

BINS = {"title": "Bins", "markdown": "Out on **Monday**.", "whom": ["stand-in", "sitter"]}
PAGES, ORDER = "/api/handover/pages", "/api/handover/order"


def add(house: House, **changed: Any) -> dict[str, Any]:  # noqa: ANN401  any JSON
    return dict(ask(house, "POST", PAGES, BINS | changed))


def test_a_page_is_answered_as_it_is_kept(house: House) -> None:
    answer = house.http.post(PAGES, json=BINS)
    found = answer.json()
    assert answer.headers["location"] == f"{PAGES}/{found['page']}"
    assert found["html"] == "<p>Out on <strong>Monday</strong>.</p>"
    assert found["whom"] == ["sitter", "stand-in"]
    assert ask(house, "GET", PAGES) == {"pages": [found], "most": 60}


def test_a_page_is_replaced_and_a_late_one_is_held_back(house: House) -> None:
    address = f"{PAGES}/{add(house)['page']}"
    tag = house.http.get(address).headers["etag"]
    assert (
        house.http.put(address, json=BINS | {"title": "Post"}, headers={"if-match": tag}).status_code == 200
    )
    late = house.http.put(address, json=BINS, headers={"if-match": tag})
    assert (late.status_code, late.json()["now"]["title"]) == (412, "Post")
    assert house.http.delete(address, headers={"if-match": tag}).status_code == 412
    assert house.http.delete(address).json()["pages"] == []


def test_an_order_is_put_and_a_late_one_is_held_back(house: House) -> None:
    first, second = add(house, title="A")["page"], add(house, title="B")["page"]
    tag = house.http.get(ORDER).headers["etag"]
    assert ask(house, "PUT", ORDER, {"order": [second]}) == {"order": [second, first]}
    late = house.http.put(ORDER, json={"order": [first]}, headers={"if-match": tag})
    assert (late.status_code, late.json()["now"]) == (412, {"order": [second, first]})
    assert [page["title"] for page in ask(house, "GET", PAGES)["pages"]] == ["B", "A"]


def test_a_request_sent_again_adds_no_second_page(house: House) -> None:
    named = BINS | {"request_id": "from-the-kitchen"}
    assert house.http.post(PAGES, json=named).json() == house.http.post(PAGES, json=named).json()
    assert len(ask(house, "GET", PAGES)["pages"]) == 1


def test_words_are_looked_for(house: House) -> None:
    add(house)
    assert [page["title"] for page in ask(house, "GET", f"{PAGES}?q=monday")["pages"]] == ["Bins"]
    assert ask(house, "GET", f"{PAGES}?q=sunday")["pages"] == []


def test_a_bomb_is_refused_in_words(house: House) -> None:
    for bomb in ("> " * 10_000, "> " * 2_900 + "x"):
        answer = house.http.post(PAGES, json=BINS | {"markdown": bomb})
        assert (answer.status_code, answer.json()["type"]) == (422, "/problems/malformed")
    assert ask(house, "GET", PAGES)["pages"] == []


def test_a_handover_is_joined_for_its_dates(house: House) -> None:
    add(house)
    found = ask(house, "GET", "/api/handover?whom=sitter&from=2027-01-05&until=2027-01-06&part=day")
    assert (found["from_date"], found["until"]) == ("2027-01-05", "2027-01-06")
    assert [page["title"] for page in found["pages"]] == ["Bins"]
    assert [section["key"] for section in found["sections"]] == ["day"]
    assert house.http.get("/api/handover?whom=sitter&until=2027-01-01").status_code == 422


def test_pages_to_begin_with_are_answered_with_their_blanks(house: House) -> None:
    found = ask(house, "GET", "/api/handover/starters")["starters"]
    assert {whom for one in found for whom in one["whom"]} == {"sitter", "guest", "stand-in", "emergency"}
    for one in found:
        add(house, **{key: one[key] for key in ("title", "markdown", "whom")})
    assert len(ask(house, "GET", PAGES)["pages"]) == len(found)
