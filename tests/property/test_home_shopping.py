"""What the shopping list promises of amounts: sums are exact, whatever the order they come in."""

from __future__ import annotations

from fractions import Fraction
from itertools import chain

from hypothesis import given
from hypothesis import strategies as st

from coach.kitchen.rules.amounts import COUNT, UNITS, Amount, added, ingredient_of, number_text

# A second reading of the units, in whole numbers: a nanogram, and the same part of a millilitre.
SMALL = 10**9
METRIC = {"g": SMALL, "kg": 1000 * SMALL, "ml": SMALL, "cl": 10 * SMALL, "dl": 100 * SMALL, "l": 1000 * SMALL}
CUSTOMARY = {"lb": 453_592_370_000, "oz": 28_349_523_125}
MASS, VOLUME = {"g", "kg", "lb", "oz"}, {"ml", "cl", "dl", "l"}

tenths = st.integers(1, 9999).map(lambda tenth: Fraction(tenth, 10))
ALL = [*METRIC, *CUSTOMARY, "cup", "pint", "tin", ""]
POOLS = (["lb", "oz"], ["g", "kg", "lb", "oz"], ["ml", "cl", "dl", "l"], ALL)
amounts = st.sampled_from(POOLS).flatmap(
    lambda units: st.lists(st.tuples(tenths, st.sampled_from(units)), min_size=1, max_size=8)
)


def read(wanted: list[tuple[Fraction, str]]) -> list[Amount]:
    """The amounts as one types them."""
    lines = [ingredient_of(f"{number_text(number)} {unit} rice") for number, unit in wanted]
    return [line.amount for line in lines if line and line.amount]


def small(number: Fraction, unit: str) -> Fraction:
    """An amount in the smallest of its kind."""
    return number * (METRIC | CUSTOMARY).get(unit, SMALL)


def kind(unit: str) -> str:
    return "mass" if unit in MASS else "volume" if unit in VOLUME else unit


@given(amounts)
def test_the_sum_of_each_kind_is_exact_or_up_to_a_gram_more_where_two_systems_meet(
    wanted: list[tuple[Fraction, str]],
) -> None:
    found = {one.unit.kind: one for one in added(read(wanted))}
    assert set(found) == {kind(unit) for _, unit in wanted}
    for name, total in found.items():
        of_kind = [(number, unit) for number, unit in wanted if kind(unit) == name]
        exact = sum(small(*one) for one in of_kind)
        more = small(total.number, total.unit.one) - exact
        systems = {unit in CUSTOMARY for _, unit in of_kind}
        assert more == 0 if len(systems) == 1 else 0 <= more < SMALL


@given(amounts.flatmap(lambda wanted: st.tuples(st.just(wanted), st.permutations(wanted))))
def test_the_order_in_which_amounts_come_makes_no_difference(
    both: tuple[list[tuple[Fraction, str]], list[tuple[Fraction, str]]],
) -> None:
    one, other = (sorted(total.text for total in added(read(wanted))) for wanted in both)
    assert one == other


@given(st.lists(amounts, min_size=2, max_size=3))
def test_sums_of_one_system_can_be_added_bit_by_bit(parts: list[list[tuple[Fraction, str]]]) -> None:
    metric = [[one for one in part if one[1] not in CUSTOMARY] for part in parts]
    at_once = added(chain.from_iterable(read(part) for part in metric))
    bit_by_bit = added(chain.from_iterable(added(read(part)) for part in metric))
    assert {(one.unit.kind, one.number * one.unit.size) for one in at_once} == {
        (one.unit.kind, one.number * one.unit.size) for one in bit_by_bit
    }


@given(st.fractions(0, 1000, max_denominator=1000), st.sampled_from([*UNITS.values(), COUNT]))
def test_what_is_written_is_never_another_number(number: Fraction, unit: st.DataObject) -> None:
    parts = number_text(number).split()
    assert sum(Fraction(part) for part in parts) == number
    assert Amount(number, unit).text.startswith(number_text(number))  # type: ignore[arg-type]  # a unit
