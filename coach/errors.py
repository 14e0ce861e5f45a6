"""The one tree of errors a person can cause; the web and the commands put them into words in one place each.

SteadingError
├── Unknown          a step, a date or a page that does not exist
│   └── OutOfRange   a date before the start or in the future
├── NotEditable      a date outside the days that can still be changed, or a choice that no longer holds
├── Outdated         something was changed since it was read, so a change that has not seen that is held back
├── Repeated         a request that was written down already
├── AskedOtherwise   a request under the id of another one
├── SaidOnce         a request that was done, whose answer cannot be said again
├── NotStarted       the household has not chosen its first step yet
├── AlreadyStarted   it has
├── NotAllowed       something that only a keeper of the household does, or a token to read with
├── WrongCode        a code that lets nobody in: wrong, used, over, or guessed at too often
├── WrongPasskey     a passkey's answer that proves nothing, or comes too late
├── ConfirmFirst     a change to somebody's ways in, by one who was let in long ago
├── TooOften         something that was tried too often, with how long to wait
├── Newer            a mark that has not seen another one's newer mark
├── Malformed        a value that cannot be read, with the place and the way to mend it
│   └── FaultyFile   a course folder or a log with faults, each with its place
├── DoesNotFit       a sheet that is too long for its page, with by how much and what to do
├── StoreError       the database cannot be used: newer version, read-only or full disk
│   └── Busy         somebody else kept it for too long
├── Crowded          too much of the same is worked on at once; it may succeed in a moment
└── NotReady         this machine has to be mended first: a key, a folder, its addresses, or what prints
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import islice
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from typing import Self

MOST_NAMED = 50
"""How many faults are named; the rest are counted. Who mends these knows the kind of the others."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Something wrong (or doubtful) in a person's file.

    Attributes:
        file: The file's name as the person knows it.
        line: The line, counted from 1, where there is one.
        reason: What is wrong and how to mend it, as one sentence.
    """

    file: str
    line: int | None
    reason: str

    def __str__(self) -> str:
        place = self.file if self.line is None else f"{self.file}:{self.line}"
        return f"{place}: {self.reason}"


class Faults(tuple[Fault, ...]):  # noqa: SLOT001  a tuple takes no slot with a value
    """Faults in the order of the file: all of them, or the first ones and how many there are besides.

    Attributes:
        more: How many are counted and not named.
    """

    more: int

    def __new__(cls, named: Iterable[Fault] = (), more: int = 0) -> Self:
        """Faults named one by one, and the number of the rest."""
        found = super().__new__(cls, named)
        found.more = more
        return found

    @classmethod
    def of(cls, *parts: Iterable[Fault]) -> Self:
        """The first ones of several parts, in their order, and the number of the rest, which are not kept."""
        named: list[Fault] = []
        more = 0
        for part in parts:
            for fault in part:
                if len(named) < MOST_NAMED:
                    named.append(fault)
                else:
                    more += 1
            more += part.more if isinstance(part, Faults) else 0
        return cls(named, more)

    @property
    def number(self) -> int:
        """How many there are, named or not."""
        return len(self) + self.more


def first_said(reasons: Iterable[str], between: str = " ") -> str:
    """What is wrong as one text: the first reasons, and how many there are besides."""
    those = iter(reasons)
    said = list(islice(those, MOST_NAMED))
    if more := sum(1 for _ in those):
        said.append(f"And {more} more.")
    return between.join(said)


class SteadingError(Exception):
    """An error a person can cause; its text says what is wrong and what to do."""


class Unknown(SteadingError):
    """A step or a date that does not exist."""


class OutOfRange(Unknown):
    """A date before the household's start or after its current one."""


class NotEditable(SteadingError):
    """A date that cannot be changed, or a change the household's standing rules out."""


class Outdated(SteadingError):
    """Something was changed since it was read.

    Attributes:
        now: What stands there now, for whoever can show it; empty if nobody asked.
    """

    def __init__(self, text: str, now: Mapping[str, object] | None = None) -> None:
        super().__init__(text)
        self.now = now or {}


class Repeated(SteadingError):
    """A request of the same id has been written already; a second tap writes nothing."""


class AskedOtherwise(SteadingError):
    """A request under an id that another request was sent with."""


class SaidOnce(SteadingError):
    """A request that was done already, and whose answer held a secret that cannot be said again."""


class NotStarted(SteadingError):
    """The household has not started."""


class AlreadyStarted(SteadingError):
    """The household has started already."""


class NotAllowed(SteadingError):
    """Something of one's own household that one may not do."""


class WrongCode(SteadingError):
    """A code that lets nobody in."""


class WrongPasskey(SteadingError):
    """A passkey's answer that lets nobody in."""


class ConfirmFirst(SteadingError):
    """A change to how somebody comes in, by one who has not proved lately who they are."""


class TooOften(SteadingError):
    """Something was tried too often.

    Attributes:
        seconds: How long to wait before the next try.
    """

    def __init__(self, text: str, seconds: int) -> None:
        super().__init__(text)
        self.seconds = seconds


class Newer(SteadingError):
    """A mark that was not written, since another one stands there that it had not seen.

    Attributes:
        now: What stands there, for whoever can show it: the day, and the mark with its writer and time.
    """

    def __init__(self, text: str, now: Mapping[str, object]) -> None:
        super().__init__(text)
        self.now = now


class Malformed(SteadingError):
    """A value that cannot be read."""


class FaultyFile(Malformed):
    """A file or a folder with faults.

    Attributes:
        faults: What is wrong, in the order of the file: the first, and the number of the rest.
    """

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = faults if isinstance(faults, Faults) else Faults.of(faults)
        super().__init__("; ".join(str(fault) for fault in self.faults))

    @property
    def more(self) -> int:
        """How many faults there are besides those that are named."""
        return self.faults.more

    @property
    def count(self) -> int:
        """How many faults there are, named or not."""
        return self.faults.number


class DoesNotFit(SteadingError):
    """A sheet that is too long for its page at the least size of type; nothing is ever cut."""


class StoreError(SteadingError):
    """The database cannot be read or written."""


class Busy(StoreError):
    """Somebody else kept the database for too long; the same act may succeed later."""


class Crowded(SteadingError):
    """Too much of the same is worked on at once; the same act may succeed in a moment."""


class NotReady(SteadingError):
    """This machine has to be mended first: a key, a folder, its clock, its addresses, or what prints."""
