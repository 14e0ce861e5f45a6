"""Copies of a database as a person is told of them: when they were made, why, and whether they are whole."""

# Pydantic reads these annotations at run time.
from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, slots=True)
class Check:
    """What came of checking a copy.

    Attributes:
        at: When it was checked, aware.
        fault: Why it could not be brought back, as the end of a sentence; empty if it is whole.
    """

    at: datetime
    fault: str


@dataclass(frozen=True, slots=True)
class Kept:
    """A copy: one that was asked for, or made before something took the place of what was there.

    Attributes:
        name: Its name among the copies.
        at: When it was made, aware.
        before: What took its place: `import` or `restore`; empty for one that was asked for.
        place: Where it lies, for a person.
        size: Bytes, where it is a file.
        check: What came of its last check; none where it is no file, or cannot be read now.
    """

    name: str
    at: datetime
    before: str
    place: str
    size: int | None = None
    check: Check | None = None
