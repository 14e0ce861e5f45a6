"""An answer as it was given."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Answered:
    """An answer that was given to a request which wrote.

    Attributes:
        asked: SHA-256 of what was asked, as hexadecimal digits.
        status: The answer's status.
        body: The answer as text.
    """

    asked: str
    status: int
    body: str
