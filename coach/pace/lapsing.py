"""How many households have lapsed by a day, exactly: those whose quiet days came to enough in a row."""

from __future__ import annotations


def lapsed_within(days: int, lapse_after: int, begins: float, ends: float) -> float:
    """The chance that a household has lapsed by a day, if on every day some line is due.

    A Markov chain over the quiet days in a row; whoever is not quiet marks. A household is lapsed from the
    day after the last of them on (rules §5.11).

    Args:
        days: From the first day on, on which a quiet time may begin already, through that day.
        lapse_after: So many days without a mark are a lapse, at least 1.
        begins: The chance, each day, that a household which marks falls quiet.
        ends: The chance, each day, that one which is quiet marks again.
    """
    quiet = [1.0] + [0.0] * (lapse_after - 1)
    lapsed = 0.0
    for _ in range(days - 1):
        marks = quiet[0] * (1 - begins) + sum(quiet[1:]) * ends
        longer = [quiet[0] * begins, *(share * (1 - ends) for share in quiet[1:])]
        lapsed += longer.pop()
        quiet = [marks, *longer]
    return lapsed
