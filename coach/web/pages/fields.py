"""What people type into fields, as values."""

from coach.errors import Malformed

MOST_MINUTES = 1440


def whole_minutes(what: str, text: str) -> int | None:
    """The number of minutes typed into a field; none if it was left empty.

    Args:
        what: What the minutes are for, in the sentence that says they cannot be read.
        text: As typed.

    Raises:
        Malformed: It is no number of minutes within a day.
    """
    plain = text.strip()
    if not plain:
        return None
    if not (plain.isascii() and plain.isdigit() and int(plain[:5]) <= MOST_MINUTES):
        raise Malformed(
            f"“{plain[:20]}” is no number of minutes for {what}. "
            f"Write one from 0 to {MOST_MINUTES}, or leave it empty."
        )
    return int(plain)
