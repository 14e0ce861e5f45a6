"""`/handover`: pages of the household's own are written, looked at, ordered, found, joined, deleted."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pytest

from web.forms import see, send, values
from web.kitchen.full_week import ask
from web.markup import read

if TYPE_CHECKING:
    from web.house import House
    from web.markup import Element

HTMX = {"hx-request": "true"}
PAGES = "/handover/pages"


def write(house: House, title: str, text: str = "Some words.", *whom: str) -> str:
    """Write a page by its form, and give its address."""
    new = {"title": title, "markdown": text, "whom": list(whom or ("sitter",))}
    assert send(house, PAGES, **new) == "/handover?said=page-kept"
    return next(f"{PAGES}/{page['page']}" for page in kept(house) if page["title"] == title)


def kept(house: House) -> list[dict[str, Any]]:
    return list(ask(house, "GET", "/api/handover/pages")["pages"])


def titles(page: Element) -> list[str]:
    return [item.one("a", "title").text for item in page.every("li", "placed")]


def test_an_empty_handover_has_one_thing_to_do_next(house: House) -> None:
    empty = see(house, "/handover").one("div", "empty")
    address = empty.one("a").attributes["href"]
    begun = see(house, address)
    form = values(begun)
    assert form["title"] == "When something happens"
    assert "Your local emergency number:" in begun.one("div", id="preview").text
    assert "Your local emergency number: ____" in form["markdown"]
    assert kept(house) == []


def test_a_page_that_was_begun_with_is_not_offered_again(house: House) -> None:
    write(house, "Health")
    offered = [one.text for one in see(house, "/handover").one("details", "more").every("a", "title")]
    assert "Health" not in offered
    assert "The animals" in offered


def test_a_page_is_shown_rendered_and_changed(house: House) -> None:
    address = write(house, "Bins", "Out on **Monday**.", "stand-in")
    assert see(house, address).one("strong").text == "Monday"
    form = values(see(house, f"{address}/edit"))
    assert send(house, address, **form | {"markdown": "Tuesday", "whom": ["guest"]}).startswith(address)
    assert (kept(house)[0]["markdown"], kept(house)[0]["whom"]) == ("Tuesday", ["guest"])


@pytest.mark.parametrize("address", [PAGES, "page"])
def test_what_cannot_be_kept_comes_back_with_everything_typed(house: House, address: str) -> None:
    address = write(house, "Bins") if address == "page" else address
    typed = {"title": "", "markdown": "- " * 40 + "deep", "whom": ["guest", "emergency"]}
    answer = house.http.post(address, data=typed)
    page = read(answer.text)
    assert answer.status_code == 422
    assert [fault.attributes["id"] for fault in page.every("p", "fault")] == ["title-fault", "markdown-fault"]
    assert values(page)["markdown"].strip() == typed["markdown"]
    checked = [box.attributes["value"] for box in page.every("input") if "checked" in box.attributes]
    assert checked == ["guest", "emergency"]


def test_the_text_is_looked_at_before_it_is_saved(house: House) -> None:
    typed = {"title": "Bins", "markdown": "**Monday** <b>x</b>", "whom": ["guest"], "page": ""}
    page = read(house.http.post("/handover/preview", data=typed).text)
    assert page.one("div", id="preview").one("strong").text == "Monday"
    assert "<b>x</b>" in page.one("div", id="preview").text
    assert values(page)["title"] == "Bins"
    assert kept(house) == []


def test_a_live_look_answers_with_the_text_alone(house: House) -> None:
    sent = {"title": "", "markdown": "**Monday**", "whom": []}
    answer = house.http.post("/handover/preview", data=sent, headers=HTMX)
    assert answer.text.strip() == '<div class="prose own"><p><strong>Monday</strong></p></div>'
    deep = house.http.post("/handover/preview", data=sent | {"markdown": "> " * 9999}, headers=HTMX)
    assert (deep.status_code, "too deep" in deep.text or "characters" in deep.text) == (200, True)


def test_a_look_at_a_change_keeps_what_the_form_saw(house: House) -> None:
    address = write(house, "Bins")
    form = values(see(house, f"{address}/edit"))
    sent = {name: form[name] for name in ("seen", "title", "markdown")}
    looked = values(read(house.http.post("/handover/preview", data=sent | {"page": address[-13:]}).text))
    assert looked["seen"] == form["seen"]


def test_two_who_change_one_page_are_asked(house: House) -> None:
    address = write(house, "Bins", "Monday")
    form = values(see(house, f"{address}/edit")) | {"whom": ["sitter"]}
    send(house, address, **form | {"markdown": "Tuesday"})
    clash = house.http.post(address, data=form | {"markdown": "Wednesday"})
    assert clash.status_code == 409
    assert {"Tuesday", "Wednesday"} <= {one.text for one in read(clash.text).every("dd")}
    send(house, address, **form | {"title": "Rubbish"})
    assert (kept(house)[0]["title"], kept(house)[0]["markdown"]) == ("Rubbish", "Tuesday")


def test_a_page_is_moved_by_buttons_that_say_where_it_is_to_stand(house: House) -> None:
    for title in "ABC":
        write(house, title)
    last = list(see(house, "/handover").every("li", "placed"))[-1]
    up = {field.attributes["name"]: field.attributes["value"] for field in last.every("input")}
    assert send(house, "/handover/order", **up) == "/handover?said=page-placed"
    assert send(house, "/handover/order", **up) == "/handover?said=page-placed"
    assert titles(see(house, "/handover")) == ["A", "C", "B"]
    tapped = house.http.post("/handover/order", data={"page": up["before"]}, headers=HTMX)
    assert titles(read(tapped.text)) == ["A", "C", "B"]


def test_a_search_finds_by_title_and_text_and_moves_nothing(house: House) -> None:
    write(house, "Vet", "Ring first")
    write(house, "Bins", "Monday")
    found = see(house, "/handover?q=ring")
    assert (titles(found), list(found.every("div", "move"))) == (["Vet"], [])
    live = house.http.get("/handover?q=mon", headers=HTMX)
    assert titles(read(live.text)) == ["Bins"]
    assert "No page holds" in see(house, "/handover?q=nowhere").text


def test_deleting_asks_first_and_not_what_somebody_changed(house: House) -> None:
    address = write(house, "Bins")
    assert house.http.get(f"{address}/delete").status_code == 200
    asked = values(see(house, f"{address}/delete"))
    form = values(see(house, f"{address}/edit")) | {"whom": ["sitter"]}
    send(house, address, **form | {"markdown": "Newer"})
    held = house.http.post(f"{address}/delete", data=asked)
    assert (held.status_code, len(kept(house))) == (409, 1)
    again = values(see(house, f"{address}/delete"))
    assert send(house, f"{address}/delete", **again) == "/handover?said=page-deleted"
    assert house.http.get(address).status_code == 404


def test_the_joined_pages_are_those_of_whom_it_is_for(house: House) -> None:
    write(house, "Bins", "x", "stand-in")
    write(house, "Couch", "y", "guest")
    page = see(house, "/handover?whom=stand-in&from=2027-01-04&until=2027-01-06")
    assert page.one("h1").text == "For whoever stands in"
    assert [one.one("h2").text for one in page.every("article")] == ["Bins"]
    contents = page.one("nav", "contents")
    assert [link.text for link in contents.every("a")] == ["Bins", "The day"]
    anchors = {link.attributes["href"].removeprefix("#") for link in contents.every("a")}
    assert anchors <= {one.attributes.get("id") for one in page.every()}


def test_parts_are_chosen_and_none_is_a_choice(house: House) -> None:
    assert not list(see(house, "/handover?whom=sitter&chosen=true").every("section", "known"))
    assert list(see(house, "/handover?whom=sitter&chosen=true&part=day").every("section", "known"))


@pytest.mark.parametrize("query", ["from=never", "from=2020-01-01", "until=2027-01-01", "until=2028-01-01"])
def test_dates_that_cannot_be_used_come_back_as_typed_with_why(house: House, query: str) -> None:
    answer = house.http.get(f"/handover?whom=sitter&{query}")
    name, typed = query.split("=")
    page = read(answer.text)
    assert answer.status_code == 422
    assert page.one("input", id=name).attributes["value"] == typed
    assert page.one("p", id=f"{name}-fault").text


def test_it_is_set_as_pdf_under_its_name(house: House) -> None:
    pytest.importorskip("typst")
    write(house, "Bins", "Out on ____")
    answer = house.http.get("/handover?whom=sitter&format=pdf")
    assert answer.headers["content-type"] == "application/pdf"
    assert 'filename="handover-sitter-2027-01-04.pdf"' in answer.headers["content-disposition"]
    assert answer.content.startswith(b"%PDF")


def test_the_link_to_the_pdf_asks_for_what_is_shown(house: House) -> None:
    page = house.http.get("/handover?whom=guest&from=2027-01-05&until=2027-01-06&chosen=true&part=day").text
    link = re.search(r'href="([^"]*format=pdf)"', page)
    assert link is not None
    assert link[1].replace("&amp;", "&") == (
        "/handover?whom=guest&from=2027-01-05&until=2027-01-06&chosen=true&part=day&format=pdf"
    )


def test_with_nothing_to_hand_over_there_is_a_page_to_write_and_nothing_to_print(house: House) -> None:
    empty = see(house, "/handover?whom=emergency").one("main")
    assert "there is nothing to print" in empty.text
    assert not [one for one in empty.every("button") if "data-print" in one.attributes]
    assert [one.attributes["href"] for one in empty.every("a", "main")] == ["/handover/new"]
    write(house, "Water", "Off under the sink.", "emergency")
    full = see(house, "/handover?whom=emergency").one("main")
    assert [one.text for one in full.every("button") if "data-print" in one.attributes] == ["Print"]
