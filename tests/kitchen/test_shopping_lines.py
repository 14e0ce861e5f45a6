"""Lines written on the shopping list: kept until ticked and cleared, and never hidden by an old tick."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.plan_rows import PlanRow
from coach.kitchen import shopping, shopping_lines
from habits.house import HOME, House
from kitchen.cooking import a_dinner, plan, written
from progress.living import on

if TYPE_CHECKING:
    from coach.kitchen.answers import Shopping, ShoppingItem, TickName


@pytest.fixture
def house() -> House:
    return House().begun()


def seen(house: House) -> Shopping:
    return shopping.shopping(house.context, HOME)


def add(house: House, *lines: str) -> Shopping:
    return shopping_lines.add(house.context, HOME, "\n".join(lines))


def tick(house: House, key: str, ticked: TickName | None = "in-basket") -> Shopping:
    return shopping.tick(house.context, HOME, key, ticked)


def texts(items: tuple[ShoppingItem, ...]) -> list[str]:
    return [item.text for item in items]


def lists(found: Shopping) -> tuple[list[str], list[str], list[str]]:
    return texts(found.to_buy), texts(found.in_basket), texts(found.at_home)


def test_several_lines_are_written_at_once_and_kept_across_weeks(house: House) -> None:
    assert texts(add(house, "- soap", "", "2 bulbs").to_buy) == ["soap", "2 bulbs"]
    assert texts(seen(house.at(40)).to_buy) == ["soap", "2 bulbs"]
    assert seen(house).text == "- soap\n- 2 bulbs\n"


def test_a_line_joins_what_dinners_need_of_the_same(house: House) -> None:
    plan(house, 2, a_dinner("Soup", ingredients="1 kg rice"))
    (item,) = add(house, "500 g Rice").to_buy
    assert (item.text, item.dinners, [one.text for one in item.written]) == (
        "1.5 kg rice",
        ("Soup",),
        ["500 g Rice"],
    )


def test_a_tick_goes_for_the_whole_thing_and_is_taken_back_as_a_whole(house: House) -> None:
    plan(house, 2, a_dinner("Soup", ingredients="1 kg rice"))
    add(house, "500 g rice", "soap")
    assert lists(tick(house, "rice")) == (["soap"], ["1.5 kg rice"], [])
    assert lists(tick(house, "rice", None)) == (["1.5 kg rice", "soap"], [], [])


def test_more_of_what_is_ticked_comes_back_by_itself(house: House) -> None:
    add(house, "1 kg rice")
    tick(house, "rice")
    assert lists(add(house, "500 g rice")) == (["500 g rice"], ["1 kg rice"], [])
    plan(house, 2, a_dinner("Soup", ingredients="200 g rice"))
    assert lists(seen(house)) == (["700 g rice"], ["1 kg rice"], [])
    assert lists(tick(house, "rice", "at-home")) == ([], ["1 kg rice"], ["700 g rice"])


def test_a_ticked_line_whose_amount_grows_is_to_be_bought_again(house: House) -> None:
    (item,) = add(house, "1 kg rice").to_buy
    tick(house, "rice")
    found = shopping_lines.change(house.context, HOME, item.written[0].id, "1.5 kg rice")
    assert lists(found) == (["1.5 kg rice"], [], [])


def test_a_line_that_stays_as_it_is_keeps_its_tick_and_writes_nothing(house: House) -> None:
    (item,) = add(house, "1 kg rice").to_buy
    tick(house, "rice")
    rows = len(written(house, "shopping"))
    found = shopping_lines.change(house.context, HOME, item.written[0].id, " 1  kg rice ")
    assert (lists(found)[1], len(written(house, "shopping"))) == (["1 kg rice"], rows)


def test_the_same_tick_again_writes_nothing(house: House) -> None:
    add(house, "soap")
    for _ in range(2):
        tick(house, "soap")
    assert len(written(house, "shopping")) == 2
    assert written(house, "at-home") == []


def test_clearing_takes_off_what_is_ticked_and_nothing_else(house: House) -> None:
    plan(house, 2, a_dinner("Soup", ingredients="1 leek"))
    add(house, "soap", "bulbs", "string")
    for key, how in (("soap", "in-basket"), ("bulbs", "at-home"), ("leek", "in-basket")):
        shopping.tick(house.context, HOME, key, how)  # type: ignore[arg-type]  # names of ticks
    found = shopping_lines.clear(house.context, HOME)
    assert lists(found) == (["string"], ["1 leek"], [])


def test_clearing_leaves_what_was_ticked_after_one_looked(house: House) -> None:
    soap, _ = add(house, "soap", "bulbs").to_buy
    tick(house, "soap")
    tick(house, "bulbs")
    found = shopping_lines.clear(house.context, HOME, [one.id for one in soap.written])
    assert lists(found) == ([], ["bulbs"], [])


def test_a_line_that_was_put_back_is_not_cleared(house: House) -> None:
    (soap,) = add(house, "soap").to_buy
    assert lists(shopping_lines.clear(house.context, HOME, [soap.written[0].id])) == (["soap"], [], [])


def test_a_line_is_taken_off_once(house: House) -> None:
    (soap,) = add(house, "soap").to_buy
    assert shopping_lines.remove(house.context, HOME, soap.written[0].id).to_buy == ()
    with pytest.raises(Unknown, match="There is no such line"):
        shopping_lines.remove(house.context, HOME, soap.written[0].id)
    with pytest.raises(Unknown, match="There is no such line"):
        shopping_lines.change(house.context, HOME, soap.written[0].id, "soap")


def test_too_many_lines_are_refused_whole(house: House) -> None:
    for _ in range(5):
        add(house, *["soap"] * 100)
    with pytest.raises(NotEditable, match="There are 500 lines on the list already, and 500 is the most"):
        add(house, "one more")
    assert "one more" not in seen(house).text


@pytest.mark.parametrize("days", [0, 32])
def test_a_list_of_no_such_days_is_refused_before_anything_is_written(house: House, days: int) -> None:
    with pytest.raises(Malformed, match="1 to 31 days"):
        shopping_lines.add(house.context, HOME, "soap", days)
    assert seen(house).to_buy == ()


def test_ticks_of_earlier_versions_hold(house: House) -> None:
    """They were kept by unit and words: `g|rice`, `|onion`, `salt`."""
    plan(house, 2, a_dinner("Soup", ingredients="400 g rice\n1 onion\nsalt\n1 leek"))
    kept = (("g|rice", "400 g rice"), ("|onion", "1 onion"), ("salt", "salt"))
    rows = [PlanRow(on(1), "at-home", key, f'{{"at-home":{{"{on(2)}":"{line}"}}}}') for key, line in kept]
    with house.store.writing(HOME) as writing:
        writing.put_plan(rows, datetime(2027, 1, 4, tzinfo=UTC))
    assert lists(seen(house)) == (["1 leek"], [], ["400 g rice", "1 onion", "salt"])
    assert lists(tick(house, "rice", None))[0] == ["400 g rice", "1 leek"]
