"""No sequence of tables lets a number of households from 1 to 4 be worked out."""

from __future__ import annotations

from collections import Counter
from datetime import date
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.coaching.rules.audit import tells_few
from coach.coaching.rules.counts import STANDING, Count
from coach.coaching.rules.hiding import telling
from coach.coaching.rules.telling import Block, Told, told_of
from coaching.rules.attacker import Attacker, Kind, standing

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from random import Random

    from coach.ground.spells import Ending

FIRST = date(2026, 3, 1).toordinal()
DATES = 10
LONGEST = 6
ENDINGS: tuple[Ending, ...] = ("settled", "set aside", "lapsed")
SUNDAY = date(2026, 3, 8)


def counts_on(households: Iterable[Kind], day: int, number: int = 0) -> list[Count]:
    stands = (kind.stands(day) for kind in households if kind.last_table >= number)
    found = Counter(stand for stand in stands if stand is not None)
    return [Count(days, ending, some) for (ending, days), some in found.items()]


def told_over(households: Sequence[Kind], days: Sequence[int]) -> list[tuple[int, Told]]:
    """Every table that is told on some days, each once, with its number."""
    found: list[Told] = []
    shown: list[tuple[int, Told]] = []
    for number, day in enumerate(days):
        said = telling(counts_on(households, day, number), date.fromordinal(day), found)
        if said.is_new and said.table is not None:
            found.append(said.table)
            shown.append((number, said.table))
    return shown


@st.composite
def progress(draw: st.DrawFn) -> list[Kind]:
    """Households that begin one after the other and end in one way or another; nobody leaves."""
    kind = st.builds(
        Kind,
        entered=st.integers(FIRST, FIRST + DATES - 1),
        ending=st.sampled_from(ENDINGS),
        length=st.sampled_from([1, 2, 3, 3, 4, 4, 5, LONGEST, LONGEST + DATES]),
        last_table=st.just(99),
    )
    return draw(st.lists(kind, min_size=8, max_size=60))


def populations(random: Random, tables: Sequence[Told], number: int) -> list[Callable[[Kind], bool]]:
    """Some of those that tables are nearest to telling: who stood so between their days, and since when."""
    cuts = sorted({1, *(block.day for table in tables for row in table.blocks.values() for block in row)})
    ways = [way for table in tables for way in (*((ending,) for ending in table.blocks), tuple(table.hidden))]
    found: list[Callable[[Kind], bool]] = []
    while tables and len(found) < number:
        endings = random.choice([*ways, STANDING])
        first, last = random.choice([(0, 10_000), (0, 10_000), sorted(random.choices(cuts, k=2))])
        earlier, later = sorted(random.choices(tables, k=2), key=lambda table: table.as_of)
        now = standing(later.as_of, endings, first + 1, last)
        before = random.choice([endings, endings, random.choice(ways)])
        since = but_not(now, standing(earlier.as_of, before, first + 1, last))
        found.append(
            random.choice([now, since, since, both(now, standing(earlier.as_of, before, 1, 10_000))])
        )
    return found


def but_not(one: Callable[[Kind], bool], other: Callable[[Kind], bool]) -> Callable[[Kind], bool]:
    return lambda kind: one(kind) and not other(kind)


def both(one: Callable[[Kind], bool], other: Callable[[Kind], bool]) -> Callable[[Kind], bool]:
    return lambda kind: one(kind) and other(kind)


def counted_up_to(table: int) -> Callable[[Kind], bool]:
    return lambda kind: kind.last_table <= table


@settings(max_examples=12, deadline=None)
@given(households=progress(), random=st.randoms(use_true_random=False))
def test_weeks_of_tables_let_no_few_be_worked_out(households: list[Kind], random: Random) -> None:
    days = [FIRST + 2, FIRST + 5, FIRST + 8, FIRST + 11]
    kinds = [
        Kind(entered, ending, length, 99)
        for entered in range(FIRST, FIRST + DATES)
        for ending in ENDINGS
        for length in [*range(1, LONGEST + 1), LONGEST + DATES]
    ]
    told = told_over(households, days)
    attacker = Attacker(kinds, told)
    for population in populations(random, [table for _, table in told], 25):
        known = attacker.knows(population)
        assert known is None or not 0 < known < 5


@settings(max_examples=12, deadline=None)
@given(
    households=progress(),
    leavers=st.lists(st.integers(0, 59), max_size=9),
    random=st.randoms(use_true_random=False),
)
def test_leaving_lets_no_few_be_worked_out(
    households: list[Kind], leavers: list[int], random: Random
) -> None:
    day = FIRST + DATES
    table_of = {who: when % 4 for when, who in enumerate(leavers)}
    those = [kind._replace(last_table=table_of.get(who, 99)) for who, kind in enumerate(households)]
    kinds = [
        Kind(FIRST, ending, length, last)
        for ending in ENDINGS
        for length in [*range(1, LONGEST + 1), LONGEST + DATES]
        for last in (0, 1, 2, 3, 99)
    ]
    told = told_over(those, [day] * 5)
    attacker = Attacker(kinds, told)
    for population in populations(random, [table for _, table in told], 15):
        gone = random.choice([0, 1, 2, 3, 99])
        for asked in (population, both(population, counted_up_to(gone))):
            known = attacker.knows(asked)
            assert known is None or not 0 < known < 5


def test_the_attacker_finds_what_is_told_carelessly() -> None:
    kinds = [Kind(FIRST, "settled", length, 99) for length in (1, 2, 30)]
    ten, twelve = (
        Told(date.fromordinal(day), {"settled": (Block(2, number),), "open": (Block(9, 20 - number),)}, 0)
        for day, number in ((FIRST, 5), (FIRST + 1, 7))
    )
    new = standing(twelve.as_of, ("settled",), 2, 2)
    assert Attacker(kinds, [(0, ten), (1, twelve)]).knows(new) == 2
    assert tells_few([ten, twelve])


def test_what_is_told_as_one_is_held_against_what_was_told_of_its_parts() -> None:
    weeks: list[tuple[int, dict[Ending, tuple[Block, ...]], int]] = [
        (8, {"settled": (Block(6, 8),), "left": (), "open": (Block(3, 12),)}, 5),
        (15, {"settled": (Block(6, 18),), "left": ()}, 7),
    ]
    earlier, later = (Told(date(2026, 3, day), told, rest) for day, told, rest in weeks)
    assert earlier.hidden < later.hidden
    assert tells_few([earlier, later])


@pytest.mark.parametrize(("as_of", "is_told"), [(8, True), (15, False)])
def test_what_two_tables_of_one_sunday_hide_is_held_against_each_other(as_of: int, *, is_told: bool) -> None:
    # Sixteen and then eighteen lapsed, left or are open; a week later some of these may be new.
    nobody: tuple[Block, ...] = ()
    first = Told(SUNDAY, {"settled": (Block(14, 20),), "set aside": nobody, "lapsed": (Block(14, 10),)}, 6)
    second = Told(date(2026, 3, as_of), {"settled": (Block(14, 26),), "set aside": nobody}, 18)
    assert tells_few([first, second]) == is_told


def few(**numbers: int) -> list[Count]:
    """Spells that ended on day 14 so often in each way; open ones after three days."""
    named = {key.replace("_", " "): number for key, number in numbers.items()}
    return [
        Count(3 if ending == "open" else 14, ending, named[ending])
        for ending in STANDING
        if named.get(ending)
    ]


def test_four_households_are_told_nothing_of() -> None:
    assert telling(few(settled=4), SUNDAY, []).table is None


def test_five_are_told_of() -> None:
    table = telling(few(settled=5), SUNDAY, []).table
    assert table is not None
    assert table.blocks["settled"] == (Block(14, 5),)


def test_a_hidden_number_takes_another_with_it() -> None:
    table = telling(few(settled=12, set_aside=6, lapsed=2), SUNDAY, []).table
    assert table is not None
    assert (sorted(table.hidden), table.rest) == (["lapsed", "set aside"], 8)


def test_of_two_that_are_equally_small_the_later_one_is_hidden_with_it() -> None:
    table = telling(few(settled=12, set_aside=6, lapsed=2, left=6), SUNDAY, []).table
    assert table is not None
    assert table.hidden == {"lapsed", "left"}


def test_two_hidden_numbers_that_are_enough_together_need_no_third() -> None:
    table = telling(few(settled=12, set_aside=6, lapsed=2, left=3), SUNDAY, []).table
    assert table is not None
    assert table.hidden == {"lapsed", "left"}


def test_days_are_put_together_until_five_ended() -> None:
    counts = [Count(day, "settled", 2) for day in range(10, 17)]
    table = telling(counts, SUNDAY, []).table
    assert table is not None
    assert table.blocks["settled"] == (Block(12, 6), Block(16, 8))


def test_the_days_of_an_end_are_told_in_at_most_thirty_parts() -> None:
    table = telling([Count(day, "settled", 5) for day in range(1, 63)], SUNDAY, []).table
    assert table is not None
    assert [block.households for block in table.blocks["settled"]] == [15] * 20 + [10]


@pytest.mark.parametrize(("more", "as_of"), [(0, 15), (1, 8), (4, 8), (5, 15), (9, 15)])
def test_a_table_comes_anew_when_five_more_have_settled(more: int, as_of: int) -> None:
    before = telling(few(settled=12, open=30), SUNDAY, []).table
    assert before is not None
    after = few(settled=12 + more, open=30 - more)
    table = telling(after, date(2026, 3, 15), [before]).table
    assert table is not None
    assert table.as_of == date(2026, 3, as_of)


def test_a_table_is_held_against_every_earlier_one() -> None:
    first, second = (
        Told(date(2026, 3, day), {"settled": (Block(14, number),), "open": (Block(9, 60 - number),)}, 0)
        for day, number in ((8, 12), (15, 20))
    )
    counts = few(settled=14, open=46)
    assert telling(counts, date(2026, 3, 22), [first, second]).table is None


def test_who_leaves_is_in_nothing_that_is_told() -> None:
    before = telling(few(settled=12, open=20), SUNDAY, []).table
    assert before is not None
    said = telling(few(settled=11, open=20), SUNDAY, [before])
    assert (said.table, said.anew) == (None, True)


def test_what_was_told_before_comes_back_when_it_is_so_again() -> None:
    before = telling(few(settled=12, open=20), SUNDAY, []).table
    assert before is not None
    assert telling(few(settled=12, open=20), SUNDAY, [before]).table == before


def test_a_table_is_kept_as_it_was() -> None:
    table = telling(few(settled=12, set_aside=6, lapsed=2), SUNDAY, []).table
    assert table is not None
    assert told_of(SUNDAY, table.to_json()) == table


def test_estimates_come_from_what_is_told_alone() -> None:
    table = Told(SUNDAY, {"settled": (Block(12, 6), Block(16, 8)), "open": (Block(9, 5),)}, 6)
    assert table.last == 16
    assert table.counts(last=30) == [
        Count(12, "settled", 6), Count(16, "settled", 8), Count(5, "open", 5), Count(30, "open", 6)
    ]  # fmt: skip
