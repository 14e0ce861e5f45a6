"""Every page with forms has a heading, a label for each field, and no script or style within."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.forms import see
from web.kitchen.full_week import a_full_week

if TYPE_CHECKING:
    from web.house import House

PAGES = (
    "/dinner",
    "/dinner/2027-W05",
    "/dinner/2026-W50",
    "/dinner/favourites",
    "/shopping",
    "/desk",
    "/quick",
    "/quick?line=renew+library+card+fri",
)


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("full", [False, True])
def test_every_page_has_one_heading_labels_and_no_inline_script_or_style(
    house: House, path: str, *, full: bool
) -> None:
    if full:
        a_full_week(house)
    page = see(house, path)
    assert len(list(page.every("h1"))) == 1
    assert not any("style" in one.attributes or "onclick" in one.attributes for one in page.every())
    assert all("src" in one.attributes for one in page.every("script"))
    labelled = {one.attributes["for"] for one in page.every("label") if "for" in one.attributes}
    ids = [one.attributes["id"] for one in page.every() if "id" in one.attributes]
    assert len(ids) == len(set(ids))
    for tag in ("input", "select", "textarea"):
        for one in page.every(tag):
            if one.attributes.get("type") not in {"hidden", "radio", "checkbox"}:
                assert one.attributes["id"] in labelled, one
