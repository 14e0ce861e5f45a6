"""Whatever two people do to one form in turn, a change that only one of them made is never lost."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from areas.house import AreaHouse
from coach.areas import turns
from coach.web.pages.areas.shown import turns_fields, turns_form, turns_shown, turns_values
from coach.web.pages.seen import Clash, put, seen_text
from habits.house import HOME

if TYPE_CHECKING:
    from coach.ground.ports import Context
    from coach.web.pages.areas.fields import TurnsForm
    from coach.web.pages.seen import Values

Act = tuple[str, "list[tuple[str, str]] | None"]

CHOICES = {
    "minutes_a_week": ["45", "60", "90"],
    "spot_minutes": ["5", "10"],
    "way": ["list", "spot", "both"],
    "mode": ["continuous", "month"],
    "area_days": ["", "MO", "MO TH", "SA"],
}
CHANGE = st.sampled_from([(name, text) for name, texts in CHOICES.items() for text in texts])
ACT = st.tuples(st.sampled_from(["Robin", "Kim"]), st.none() | st.lists(CHANGE, min_size=1, max_size=3))
"""Somebody looks at the form anew, or sends the one they have with changes."""


def save(house: AreaHouse, seen: str, mine: Values) -> set[str]:
    """Send the form as the endpoint does, and give the names of the fields that both changed."""

    def write(guarded: Context, values: Values) -> None:
        turns.arrange(guarded, HOME, turns_form(values).arrangement())

    form: TurnsForm = turns_form(mine).model_copy(update={"seen": seen})
    try:
        put(house.context, HOME, form, mine, turns_fields(), write)
    except Clash as clash:
        return {one.name for one in clash.both}
    return set()


@given(acts=st.lists(ACT, min_size=2, max_size=10))
@settings(max_examples=30)
def test_no_change_is_lost_that_only_one_has_made(acts: list[Act]) -> None:
    house = AreaHouse()
    there = turns_values(turns_shown(house.areas).form)
    shown = {"Robin": there, "Kim": there}
    for who, changes in acts:
        if changes is None:
            shown[who] = there
            continue
        saw = shown[who]
        mine = saw | dict(changes)
        by_both = {
            name for name in mine if mine[name] != saw[name] and there[name] not in {saw[name], mine[name]}
        }
        assert save(house, seen_text(saw), mine) == by_both
        if not by_both:
            there = {name: mine[name] if mine[name] != saw[name] else there[name] for name in there}
        now = turns_values(turns_shown(house.areas).form)
        # Whose turn it is follows from the mode and is nobody's change.
        assert now | {"first": ""} == there | {"first": ""}
        there = now
