"""What a household lets its coach see: nothing until its keeper chooses otherwise, for as long as chosen."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from coach.coaching import consent
from coach.coaching.following import follow
from coach.coaching.households import household, households
from coach.errors import Malformed, NotEditable, NotStarted, Unknown
from coach.habits import steps
from coach.habits.day import today
from coaching.village import Village, coach
from habits.house import HOME


def lived(days: int = 10) -> Village:
    """A household that came into the group on its first day and lived some days, with a step of its own."""
    village = Village()
    village.joins()
    village.begun()
    steps.add(village.context, HOME, "plants", {"title": "Our plants", "waits": False})
    for day in range(1, days + 1):
        village.at(day)
        for line in today(village.context, HOME).checklist:
            village.mark(day, line.step)
    return village


def saved(village: Village) -> Village:
    """The same with its days saved for the coach."""
    follow(village.context, HOME)
    return village


def test_at_enrolment_nothing_is_shared() -> None:
    village = lived()
    found = consent.sharing(village.context, HOME)
    assert (found.level, found.until, found.in_force, found.asking) == ("nothing", None, "nothing", "")
    seen = households(village.context, coach(), village.group)
    assert (seen.used, seen.by_name, seen.households) == (1, 0, ())


def test_each_level_shows_what_the_coach_would_see_word_for_word() -> None:
    village = lived()
    village.asks("Why the bed?", with_name=True)
    village.asks("And whose cups?", with_name=False)
    before = consent.sharing(village.context, HOME).by_name
    consent.choose(village.context, HOME, "by name")
    assert before == household(saved(village).context, coach(), village.group, HOME)
    assert before is not None
    assert [one.text for one in before.questions] == ["Why the bed?"]
    assert "plants" not in {one.step for one in before.steps}


def test_a_counted_household_is_in_the_sums_and_stands_nowhere_by_itself() -> None:
    village = lived(16)
    consent.choose(village.context, HOME, "counted")
    seen = households(saved(village).context, coach(), village.group)
    assert (seen.by_name, seen.households, seen.words) == (0, (), ())
    with pytest.raises(Unknown):
        household(village.context, coach(), village.group, HOME)
    found = consent.sharing(village.context, HOME).counted
    assert found is not None
    with village.store.counting() as counting:
        ended = counting.ended(village.group, village.today)
    assert {(one.step, one.days, one.ending) for one in found.steps} == {
        (one.step, one.days, one.ending) for one in ended if one.step != "plants"
    }
    assert found.steps


def test_lowering_takes_the_household_out_of_what_the_coach_opens_from_then_on() -> None:
    village = lived()
    consent.choose(village.context, HOME, "by name")
    assert households(saved(village).context, coach(), village.group).households
    consent.choose(village.context, HOME, "nothing")
    seen = households(village.context, coach(), village.group)
    assert (seen.used, seen.by_name, seen.households) == (1, 0, ())
    with village.store.reading(HOME) as reading:
        assert reading.followed() is None
        assert not reading.saved_spells()


def test_a_choice_holds_for_half_a_year_and_is_asked_again_before_it_ends() -> None:
    village = lived()
    found = consent.choose(village.context, HOME, "counted")
    assert found.until == village.today + consent.LASTS
    asked: list[str | None] = []
    for days in (169, 170, 183, 184):
        village.at(10 + days)
        asked.append(consent.asked_again(village.context, HOME))
    assert asked == ["", "soon", "soon", "over"]
    assert consent.sharing(village.context, HOME).in_force == "nothing"
    assert households(village.context, coach(), village.group).by_name == 0


@pytest.mark.parametrize("days", [-1, 184])
def test_no_date_behind_or_beyond_half_a_year_is_taken(days: int) -> None:
    village = lived(2)
    with pytest.raises(Malformed, match="half a year"):
        consent.choose(village.context, HOME, "counted", village.today + timedelta(days=days))


def test_what_was_chosen_is_kept_with_who_and_when() -> None:
    village = lived(2)
    with village.store.people_writing() as writing:
        writing.add_person("p-1", "Robin", village.now)
        writing.put_member(HOME, "p-1", "keeper", village.now)
    context = replace(village.context, by="p-1")
    for level in ("by name", "by name", "counted", "nothing"):
        consent.choose(context, HOME, level)
        village.now += timedelta(minutes=1)
        context = replace(village.context, by="p-1")
    history = consent.sharing(village.context, HOME).history
    assert [(one.level, one.name) for one in history] == [
        ("nothing", "Robin"),
        ("counted", "Robin"),
        ("by name", "Robin"),
    ]


def test_leaving_the_group_leaves_what_was_asked_without_a_name_and_the_household_as_it_was() -> None:
    village = lived()
    village.asks("Why the bed?", with_name=True)
    before = today(village.context, HOME)
    consent.choose(village.context, HOME, "by name")
    found = consent.leave_group(saved(village).context, HOME)
    assert (found.group, found.by_name, found.history[0].level) == (None, None, "")
    assert households(village.context, coach(), village.group).used == 0
    assert replace(today(village.context, HOME), date=before.date) == before
    with village.store.coaching_reading() as reading:
        [question] = reading.questions(village.group)
    assert (question.text, question.household, question.person, question.with_name) == (
        "Why the bed?",
        "",
        "",
        False,
    )
    with pytest.raises(NotEditable):
        consent.leave_group(village.context, HOME)


def test_a_household_in_no_group_shares_nothing_and_cannot() -> None:
    village = Village()
    with pytest.raises(NotStarted):
        consent.sharing(village.context, HOME)
    village.begun()
    assert consent.sharing(village.context, HOME).group is None
    with pytest.raises(NotEditable, match="in no group"):
        consent.choose(village.context, HOME, "counted")
