"""The week sheet as a browser shows and prints it: one page, no type under 8 points, nothing sideways."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import TYPE_CHECKING
from unittest.mock import patch

import pdfplumber
import pytest
from pypdf import PdfReader

from browser.visitor import DESK, NARROW, PHONE
from coach.paper import sheet as service
from coach.paper.fits import fit_of
from paper.made import ENGLISH, GERMAN, HEBREW, a_sheet
from web.live import LiveHouse

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Page

    from browser.visitor import Visitors
    from coach.paper.answers import Sheet

pytestmark = pytest.mark.browser

LEAST = 8.0
"""Points."""

LONG = "Wipe the worktop and put each plate back where it belongs: 60"


def with_long_lines(sheet: Sheet) -> Sheet:
    """The same with daily lines of 60 letters."""
    return replace(sheet, lines=tuple(replace(line, title=LONG) for line in sheet.lines))


ONE_PAGE = {
    "1 line, A4 upright": a_sheet(1),
    "12 lines of long German words, A4 upright": a_sheet(12, GERMAN),
    "12 lines of Hebrew, Letter across": a_sheet(12, HEBREW, paper="letter", across=True),
    "30 lines, Letter upright": a_sheet(30, ENGLISH, paper="letter"),
    "30 lines, A4 across": a_sheet(30, ENGLISH, across=True),
    "30 long lines, Letter upright": with_long_lines(a_sheet(30, ENGLISH, paper="letter")),
    "30 long lines, A4 across": with_long_lines(a_sheet(30, ENGLISH, across=True)),
}
SIDEWAYS = "document.documentElement.scrollWidth - innerWidth"


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveHouse]:
    """A house whose sheets are laid out before it."""
    house = LiveHouse(tmp_path_factory.mktemp("house"))
    house.start()
    house.mark("bed-made")
    yield house
    house.close()


@pytest.fixture
def page(visitors: Visitors) -> Page:
    """A desk with a printer."""
    return visitors.come(viewport=DESK)


def shown(page: Page, sheet: Sheet) -> None:
    """Look at a sheet that was made."""
    with patch.object(service, "sheet_in", lambda _where, _week=None: sheet):
        # A page that says something is not kept.
        page.goto("/sheet?said=saved")


def printed(page: Page) -> bytes:
    """The page as the browser prints it, on the paper it asks for."""
    return page.pdf(prefer_css_page_size=True)


@pytest.mark.parametrize("sheet", ONE_PAGE.values(), ids=ONE_PAGE)
def test_a_sheet_is_one_page_of_its_paper_in_type_one_can_read(page: Page, sheet: Sheet) -> None:
    assert fit_of(sheet).over == 0
    shown(page, sheet)
    with pdfplumber.open(BytesIO(printed(page))) as pdf:
        (only,) = pdf.pages
        wide, tall = {"a4": (595, 842), "letter": (612, 792)}[sheet.choices.paper]
        expected = (tall, wide) if sheet.choices.across else (wide, tall)
        assert (round(only.width), round(only.height)) == expected
        # The browser rounds 8 points to 7.99.
        assert min(round(letter["size"], 1) for letter in only.chars) >= LEAST
        assert max(letter["bottom"] for letter in only.chars) < only.height - 20


def test_a_back_page_is_the_second_one(page: Page) -> None:
    shown(page, a_sheet(12, back=True))
    assert len(PdfReader(BytesIO(printed(page))).pages) == 2


def test_what_does_not_fit_is_said_before_it_is_printed_and_nothing_is_cut(page: Page) -> None:
    sheet = a_sheet(60)
    shown(page, sheet)
    assert page.get_by_role("heading", name="too long for one page").is_visible()
    with pdfplumber.open(BytesIO(printed(page))) as pdf:
        said = "".join(letter["text"] for one in pdf.pages for letter in one.chars)
    said = "".join(said.split())
    lost = [line.title for line in sheet.lines if f"{line.title}·".replace(" ", "") not in said]
    assert not lost


def test_paper_has_the_sheet_alone_with_empty_boxes_and_its_hatch(page: Page) -> None:
    shown(page, a_sheet(3))
    page.emulate_media(media="print")
    for gone in ("h1", ".pager", "button", "form", ".house", "[data-print-hint]"):
        assert not any(one.is_visible() for one in page.locator(gone).all()), gone
    assert (
        page.locator(".week-sheet .swatch rect").first.evaluate(
            "(one) => getComputedStyle(one).printColorAdjust || getComputedStyle(one).webkitPrintColorAdjust"
        )
        == "exact"
    )
    assert page.locator(".week-grid .tick").count() == 3 * 7
    assert page.locator(".week-grid .tick svg").count() == 0


@pytest.mark.parametrize("viewport", [NARROW, PHONE, DESK], ids=["narrow", "phone", "desk"])
def test_on_a_screen_nothing_goes_sideways_whatever_the_words(
    visitors: Visitors, viewport: dict[str, int]
) -> None:
    page = visitors.come(viewport=viewport)
    for words in (GERMAN, HEBREW):
        shown(page, a_sheet(6, words))
        assert page.evaluate(SIDEWAYS) <= 0


def test_on_a_phone_a_line_stands_above_its_boxes_and_beside_them_at_a_desk(visitors: Visitors) -> None:
    for viewport, above in ((PHONE, True), (DESK, False)):
        page = visitors.come(viewport=viewport)
        shown(page, a_sheet(3))
        row = page.locator(".week-grid tbody tr:not(.slot)").first
        name, box = row.locator("th").bounding_box(), row.locator(".tick").first.bounding_box()
        assert name
        assert box
        assert (name["y"] + name["height"] <= box["y"] + 1) is above


def test_the_button_prints_and_without_a_script_the_page_says_how(visitors: Visitors) -> None:
    page = visitors.come()
    page.add_init_script("window.print = () => { document.body.dataset.printed = 'yes'; }")
    page.goto("/sheet")
    page.get_by_role("button", name="Print").click()
    assert page.locator("body").get_attribute("data-printed") == "yes"
    assert not page.locator("[data-print-hint]").is_visible()
    plain = visitors.come(java_script_enabled=False)
    plain.goto("/sheet")
    assert plain.locator("[data-print-hint]").is_visible()
    assert not plain.locator("button[data-print]").is_visible()
