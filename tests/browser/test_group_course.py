"""A coach brings a course in a browser, sees what it changes, and lets it hold, on a phone and at a desk."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from browser.looking import broken_rules, broken_words, too_wide
from browser.test_passkeys import HostedHouse
from browser.visitor import DESK, PHONE
from coach.coaching.packed_courses import checked_files
from coach.course.packing import packed
from coach.ground.groups import Group
from coach.household.devices import new_secret, signed_in
from coaching.folders import hall

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import ViewportSize

    from browser.visitor import Visitors

pytestmark = pytest.mark.browser

FILES = checked_files("hall", {name: text.encode() for name, text in hall().items()})
BAD = {**FILES.files, "01-shoes.md": b"+++\ntitle = 3\nminuts = 2\n+++\n# Shoes\nText.\n"}


@pytest.fixture(scope="module")
def live(tmp_path_factory: pytest.TempPathFactory) -> Iterator[HostedHouse]:
    house = HostedHouse(tmp_path_factory.mktemp("house"))
    yield house
    house.close()


def coach(house: HostedHouse, name: str) -> dict[str, str]:
    """The cookie of a coach with a group of that name."""
    store = house.app.state.context.store
    secret, kept = new_secret()
    with store.people_writing() as people:
        people.add_person(name, name, house.now)
        people.put_coach(name, house.now)
        people.add_session(kept, signed_in(people, name, "laptop", house.now))
    with store.coaching_writing() as writing:
        made = Group(f"of-{name}", name, "Spring", "three-weeks", house.today, "en-GB", house.now)
        writing.put_group(made)
    return {"name": "steading", "value": secret, "url": house.url}


@pytest.mark.parametrize(("name", "viewport"), [("ana", PHONE), ("ben", DESK)])
def test_a_course_is_uploaded_mended_looked_at_and_holds(
    visitors: Visitors, live: HostedHouse, name: str, viewport: ViewportSize
) -> None:
    page = visitors.come(viewport=viewport)
    visitors.expected = ("422",)
    page.context.add_cookies([coach(live, name)])  # type: ignore[list-item]  # a cookie as a dictionary
    page.goto(f"/groups/of-{name}/course")
    field, send = page.get_by_label("A packed course"), page.get_by_role("button", name="Check this file")
    faulty = packed("hall", BAD, "The hall", "")
    field.set_input_files({"name": "hall.zip", "mimeType": "application/zip", "buffer": faulty})
    send.click()
    page.get_by_text("This course is refused").wait_for()
    assert page.locator(".faults tbody tr").count() == 2
    assert broken_rules(page) == []
    field.set_input_files({"name": "hall.zip", "mimeType": "application/zip", "buffer": FILES.packed})
    send.click()
    page.get_by_role("heading", name="What it changes").wait_for()
    assert page.get_by_role("row", name="Shoes new").is_visible()
    assert broken_rules(page) == []
    assert (too_wide(page), broken_words(page)) == ([], [])
    page.get_by_role("button", name="Let it hold from then on").click()
    page.get_by_text("It holds from that date on.").wait_for()
    page.get_by_role("button", name="Take back what is to hold").click()
    page.get_by_text("Taken back. What holds now goes on.").wait_for()
    assert (too_wide(page), broken_words(page)) == ([], [])
