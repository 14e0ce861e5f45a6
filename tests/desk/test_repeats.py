"""How often something is due: choices, rules, and rules in words."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest

from coach.desk import dues
from coach.desk.repeats import CHOICES, choice_of, repeats_text, rule_for
from desk.working import add, seen, working
from habits.house import HOME, House
from progress.living import on


@pytest.fixture
def house() -> House:
    """Desk work on Tuesdays, the 5th, the 12th and so on; today is Monday the 4th."""
    return working()


def see_to(house: House, due: str, day: str) -> None:
    dues.see_to(house.context, HOME, due, date.fromisoformat(day))


@pytest.mark.parametrize(
    "day", ["2027-01-15", "2027-01-28", "2027-01-29", "2027-01-31", "2028-02-29", "2027-02-28"]
)
@pytest.mark.parametrize("choice", [choice for choice in CHOICES if choice != "once"])
def test_every_choice_comes_from_its_first_date_on_in_every_period(
    house: House, choice: str, day: str
) -> None:
    first = date.fromisoformat(day)
    rule = rule_for(choice, first)
    assert rule is not None
    due = add(house, "bill", day, rule)
    found = []
    for _ in range(4):
        shown = seen(house)
        found.append(min(one.on for one in (*shown.now, *shown.coming) if one.due == due))
        see_to(house, due, str(found[-1]))
        house.at((found[-1] - on(1)).days + 1)
        house.mark((found[-1] - on(1)).days + 1, "bed")
    months = {"monthly": 1, "quarterly": 3, "half-yearly": 6, "yearly": 12}.get(choice)
    assert found[0] == first
    if months is None:
        assert [(late - early).days for early, late in pairwise(found)] == [7, 7, 7]
    else:
        counted = [one.year * 12 + one.month for one in found]
        assert [late - early for early, late in pairwise(counted)] == [months] * 3
        assert all(one.day == first.day or (one + timedelta(days=1)).day == 1 for one in found)


@pytest.mark.parametrize("choice", CHOICES)
def test_a_choice_is_known_again_by_its_rule(choice: str) -> None:
    for day in (date(2027, 1, 31), date(2028, 2, 29), date(2027, 1, 15)):
        assert choice_of(rule_for(choice, day), day) == choice


@pytest.mark.parametrize(("day", "shorter"), [(28, False), (29, True), (31, True)])
def test_a_day_that_not_every_month_has_is_said_with_what_takes_its_place(day: int, shorter: bool) -> None:  # noqa: FBT001  a case
    on = date(2027, 1, day)
    rule = rule_for("monthly", on)
    assert ("BYSETPOS" in str(rule), "shorter month" in repeats_text(rule, on)) == (shorter, shorter)


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        (None, ""),
        ("FREQ=WEEKLY;BYDAY=FR", "every Friday"),
        ("FREQ=MONTHLY;BYMONTHDAY=15", "every month on day 15"),
        ("FREQ=MONTHLY;INTERVAL=3;BYMONTHDAY=15", "every three months on day 15"),
        ("FREQ=YEARLY;BYMONTH=1;BYMONTHDAY=15", "every year on 15 January"),
        ("FREQ=MONTHLY;BYDAY=1FR", "on the first Friday of every month"),
        ("FREQ=YEARLY", "every year"),
        ("FREQ=YEARLY;INTERVAL=2", "every 2 years"),
        ("FREQ=YEARLY;BYMONTH=3;BYDAY=-1SU", "every year, on the last Sunday of every month, in March"),
    ],
)
def test_rules_are_said_in_words(rule: str | None, words: str) -> None:
    assert repeats_text(rule, date(2027, 1, 15)) == words
