from __future__ import annotations

import time
from contextlib import suppress

import pytest

from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.faults import Unfit
from coach.ground.prose import render_own
from coach.ground.situation import looking
from coach.paper import pages
from coach.paper.pages import TypedPage
from coach.paper.rules.own_pages import MOST_PAGES, TEXT_LENGTH, in_order, placed
from habits.house import HOME, House

BINS = TypedPage("Bins", "Out on **Monday** evening.", ("stand-in", "sitter"))


@pytest.fixture
def house() -> House:
    return House().begun()


def _titles(house: House, words: str = "") -> list[str]:
    with looking(house.context, HOME) as where:
        return [page.title for page in pages.pages_in(where, words).pages]


def _three(house: House) -> list[str]:
    return [pages.add(house.context, HOME, TypedPage(name, "x", ("guest",))).page for name in "ABC"]


def test_a_page_is_kept_as_it_was_written_and_shown_rendered(house: House) -> None:
    page = pages.add(house.context, HOME, BINS)
    assert (page.markdown, page.html) == (BINS.markdown, "<p>Out on <strong>Monday</strong> evening.</p>")
    assert (page.whom, page.position) == (("sitter", "stand-in"), 1)


def test_line_ends_of_a_browser_and_spaces_around_a_title_are_not_kept(house: House) -> None:
    page = pages.add(house.context, HOME, TypedPage("  Two \n words ", "a\r\nb\r\n\r\n", ("guest",)))
    assert (page.title, page.markdown) == ("Two words", "a\nb")


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        (TypedPage(" ", "x", ("guest",)), "title"),
        (TypedPage("x" * 81, "x", ("guest",)), "title"),
        (TypedPage("A\x00", "x", ("guest",)), "title"),
        (TypedPage("A", "\u200b \n", ("guest",)), "markdown"),
        (TypedPage("A", "x" * (TEXT_LENGTH + 1), ("guest",)), "markdown"),
        (TypedPage("A", "\x07", ("guest",)), "markdown"),
        (TypedPage("A", "> " * 40 + "x", ("guest",)), "markdown"),
        (TypedPage("A", "x", ()), "whom"),
        (TypedPage("A", "x", ("everybody",)), "whom"),
    ],
)
def test_what_cannot_be_kept_is_said_beside_its_field_and_nothing_is_written(
    house: House, typed: TypedPage, field: str
) -> None:
    with pytest.raises(Unfit) as refused:
        pages.add(house.context, HOME, typed)
    assert [fault.field for fault in refused.value.faults] == [field]
    assert _titles(house) == []


def test_a_page_is_changed_and_one_that_is_gone_is_not(house: House) -> None:
    page = pages.add(house.context, HOME, BINS).page
    pages.change(house.context, HOME, page, TypedPage("Post", "y", ("guest",)))
    assert _titles(house) == ["Post"]
    pages.remove(house.context, HOME, page)
    with pytest.raises(Unknown):
        pages.change(house.context, HOME, page, BINS)
    assert _titles(house) == []


def test_the_same_again_writes_nothing(house: House) -> None:
    page = pages.add(house.context, HOME, BINS).page
    before = house.context.store.version(HOME)
    pages.change(house.context, HOME, page, BINS)
    pages.place(house.context, HOME, page, None)
    assert house.context.store.version(HOME) == before


def test_a_page_is_put_before_another_one_or_last(house: House) -> None:
    first, second, _ = _three(house)
    pages.place(house.context, HOME, second, first)
    assert _titles(house) == ["B", "A", "C"]
    pages.place(house.context, HOME, second, None)
    assert _titles(house) == ["A", "C", "B"]


def test_two_orders_and_a_page_written_meanwhile_lose_no_page(house: House) -> None:
    first, second, third = _three(house)
    pages.put_in_order(house.context, HOME, [third, second, first])
    pages.add(house.context, HOME, BINS)
    pages.put_in_order(house.context, HOME, [second, third])
    assert _titles(house) == ["B", "C", "A", "Bins"]
    pages.remove(house.context, HOME, second)
    assert _titles(house) == ["C", "A", "Bins"]


@pytest.mark.parametrize("named", [["0", "0"], ["20990101-0001"]])
def test_an_order_that_names_a_page_twice_or_none_is_refused(house: House, named: list[str]) -> None:
    ids = _three(house)
    with pytest.raises(Malformed):
        pages.put_in_order(house.context, HOME, [ids[int(one)] if len(one) == 1 else one for one in named])
    assert _titles(house) == ["A", "B", "C"]


def test_an_order_is_of_the_pages_there_are() -> None:
    assert in_order(["3", "1", "2"], ["9", "2", "2"]) == ("2", "1", "3")
    assert placed(["1", "2"], "2", "2") == ("1", "2")


def test_a_search_looks_at_titles_and_texts_whatever_case_and_accents(house: House) -> None:
    pages.add(house.context, HOME, TypedPage("Café", "The machine hums.", ("guest",)))
    pages.add(house.context, HOME, BINS)
    assert _titles(house, "cafe HUMS") == ["Café"]
    assert _titles(house, "monday") == ["Bins"]
    assert _titles(house, "monday hums") == []
    assert _titles(house, " ") == ["Café", "Bins"]


def test_there_are_no_more_pages_than_the_most(house: House) -> None:
    for number in range(MOST_PAGES):
        pages.add(house.context, HOME, TypedPage(str(number), "x", ("guest",)))
    with pytest.raises(NotEditable, match=f"{MOST_PAGES} is the most"):
        pages.add(house.context, HOME, BINS)


def test_an_id_is_not_given_twice_though_its_page_is_gone(house: House) -> None:
    ids = _three(house)
    pages.put_in_order(house.context, HOME, list(reversed(ids)))
    pages.remove(house.context, HOME, ids[2])
    assert pages.add(house.context, HOME, BINS).page not in ids


def test_a_damaged_page_is_left_out_and_named(house: House) -> None:
    with house.context.store.writing(HOME) as writing:
        with looking(house.context, HOME) as where:
            row = where.row(pages.PAGE, "20270101-0001", {"title": "A"})
        writing.put_plan([row], house.context.clock(), None, "")
    with looking(house.context, HOME) as where:
        assert pages.pages_in(where).pages == ()
        assert [finding.kind for finding in where.findings] == ["plan"]


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("<script>alert(1)</script>", "<p>&lt;script&gt;alert(1)&lt;/script&gt;</p>"),
        ("![x](https://example.org/x.png)", "<p></p>"),
        ("[a](javascript:alert(1))", "<p>[a](javascript:alert(1))</p>"),
        ("[a](data:text/html,x)", "<p>[a](data:text/html,x)</p>"),
        ("[a](//example.org)", '<p><a rel="noopener noreferrer">a</a></p>'),
        ("[a](/data/forget)", '<p><a rel="noopener noreferrer">a</a></p>'),
        ("[a](tel:0)", '<p><a href="tel:0" rel="noopener noreferrer">a</a></p>'),
        ("# Title", "<h3>Title</h3>"),
        ("a\n\n____", '<p>a</p>\n<p><span class="blank">____</span></p>'),
        ("a\n\n___", "<p>a</p>\n<hr>"),
        (
            "On ____ (a) ____.",
            '<p>On <span class="blank">____</span> (a) <span class="blank">____</span>.</p>',
        ),
    ],
)
def test_markdown_is_made_harmless(typed: str, shown: str) -> None:
    assert render_own(typed) == shown


BOMBS = {
    "quotes": "> " * 10_000 + "x",
    "lists": "- " * 10_000 + "x",
    "both": "> - " * 10_000 + "x",
    "brackets": "[" * TEXT_LENGTH,
    "pictures": "![" * (TEXT_LENGTH // 2),
    "stars": "*_" * (TEXT_LENGTH // 2),
    "table": ("|" * 99 + "\n") * (TEXT_LENGTH // 100),
    "one-address-often": f"[a]: /{'x' * 3000}\n\n" + "[a]" * 990,
}


@pytest.mark.parametrize("name", BOMBS)
def test_a_bomb_is_refused_or_shown_within_a_second(name: str) -> None:
    typed = TypedPage("Bomb", BOMBS[name], ("guest",))
    began = time.process_time()
    with suppress(Unfit):
        assert pages.preview(typed)
    assert time.process_time() - began < 1


def test_what_lies_too_deep_is_refused_and_not_passed_over() -> None:
    assert "deep" in render_own("> " * 15 + "deep")
    with pytest.raises(Malformed, match="too deep"):
        render_own("> " * 20 + "deep")
