"""A coach sees of each household what it shares, and nothing else."""

from __future__ import annotations

from dataclasses import asdict

import pytest

from coach.coaching.households import ON_A_PAGE, household, households
from coach.errors import Unknown
from coaching.village import BEN, Village, coach, spell
from progress.living import on


@pytest.fixture
def village() -> Village:
    return Village()


def test_who_shares_nothing_and_who_is_counted_are_one_number(village: Village) -> None:
    village.joins("h1", "Silent Lane").joins("h2", "Counted Close", "counted")
    village.shares("h3", "Open Road", spell("bed", 1))
    found = households(village.at(13).context, coach(), village.group)
    assert (found.used, found.by_name, len(found.households)) == (3, 1, 1)
    assert "Silent" not in str(asdict(found))
    assert "Counted" not in str(asdict(found))


def test_by_name_it_is_said_where_a_household_stands_on_the_course(village: Village) -> None:
    village.shares("h1", "Open Road", spell("bed", 1, "settled"), spell("cups", 6), last_mark=on(11))
    [found] = households(village.at(13).context, coach(), village.group).households
    assert (found.came, found.settled, found.latest) == (2, 1, "The cups")
    assert (found.phase, found.last_mark, found.through) == ("ramping", on(11), on(12))


def test_the_order_is_that_of_names_and_ranks_nobody(village: Village) -> None:
    for key, name in (("h1", "willow"), ("h2", "Ash"), ("h3", "Oak")):
        village.shares(key, name, due_since=4)
    found = households(village.at(13).context, coach(), village.group)
    assert [one.name for one in found.households] == ["Ash", "Oak", "willow"]
    assert [one.name for one in found.words] == ["Ash", "Oak", "willow"]


def test_a_step_of_ones_own_is_told_of_nowhere(village: Village) -> None:
    village.shares("h1", "Open Road", spell("bed", 1), spell("call-my-lawyer", 2, outcomes=30))
    seen = households(village.at(13).context, coach(), village.group)
    one = household(village.context, coach(), village.group, "h1")
    assert "lawyer" not in str(asdict(seen)) + str(asdict(one))
    assert [step.step for step in one.steps] == ["bed"]
    assert seen.households[0].came == 1
    assert seen.words == ()


def test_one_household_shows_what_by_name_promises(village: Village) -> None:
    village.begun().shares("home", "Tern Street", spell("bed", 1, "settled"), spell("cups", 6))
    village.asks("Both of us?", with_name=True)
    village.asks("In secret?")
    found = household(village.at(13).context, coach(), village.group, "home")
    assert [(one.step, one.state, one.came_on, one.settled_on) for one in found.steps] == [
        ("bed", "settled", on(1), on(5)),
        ("cups", "practising", on(6), None),
    ]
    assert [one.text for one in found.questions] == ["Both of us?"]
    assert set(asdict(found)) == {
        "household", "name", "phase", "last_mark", "through", "steps", "questions",
    }  # fmt: skip


@pytest.mark.parametrize("level", ["nothing", "counted"])
def test_one_that_shares_less_is_not_there(village: Village, level: str) -> None:
    village.joins("h1", "Silent Lane", level)  # type: ignore[arg-type]
    with pytest.raises(Unknown, match="no such household"):
        household(village.context, coach(), village.group, "h1")


def test_what_was_shared_is_gone_the_day_after_its_end(village: Village) -> None:
    village.joins("h1", "Open Road", "by name", until=on(13))
    assert household(village.at(13).context, coach(), village.group, "h1").name == "Open Road"
    with pytest.raises(Unknown):
        household(village.at(14).context, coach(), village.group, "h1")
    assert households(village.context, coach(), village.group).households == ()


def test_another_coach_sees_no_household(village: Village) -> None:
    village.shares("h1", "Open Road")
    for asked in (lambda: households(village.context, coach(BEN), village.group),
                  lambda: household(village.context, coach(BEN), village.group, "h1")):  # fmt: skip
        with pytest.raises(Unknown):
            asked()


def test_a_word_has_its_reasons_and_a_text_that_blames_nobody(village: Village) -> None:
    village.shares("h1", "Ash", spell("bed", 1, outcomes=11), due_since=4, last_mark=on(8))
    [word] = households(village.at(13).context, coach(), village.group).words
    assert word.reasons[0].startswith("No mark on 4 days with a list, the last one on ")
    assert word.reasons[1].startswith("“The bed” has been practised for 11 outcomes, since ")
    assert "Hello Ash" in word.text
    assert "“The bed” may want another moment of the day" in word.text
    assert not {"missed", "failed", "should", "!"} & set(word.text.lower().replace(",", " ").split())


def test_nothing_saved_yet_is_said_as_nothing_known(village: Village) -> None:
    village.joins("h1", "Open Road", "by name")
    [found] = households(village.context, coach(), village.group).households
    assert (found.phase, found.last_mark, found.came, found.latest) == (None, None, 0, "")


def test_of_many_by_name_a_hundred_are_told_of_at_once_and_every_one_on_some_page(village: Village) -> None:
    for number in range(ON_A_PAGE + 3):
        village.shares(f"h{number}", f"House {number:03}", due_since=4)
    pages = [households(village.at(13).context, coach(), village.group, first) for first in (0, ON_A_PAGE)]
    assert [len(page.households) for page in pages] == [ON_A_PAGE, 3]
    assert [len(page.words) for page in pages] == [ON_A_PAGE, 3]
    assert {page.by_name for page in pages} == {ON_A_PAGE + 3}
    assert len({one.household for page in pages for one in page.households}) == ON_A_PAGE + 3
