"""What somebody is told of their passkeys and their recovery sheet."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class PasskeyShown:
    """A passkey.

    Attributes:
        id: Names it.
        name: What it is called.
        made_at: When it was added.
        last_used: When somebody signed in with it last; none: not yet.
    """

    id: str
    name: str
    made_at: dt.datetime
    last_used: dt.datetime | None


@dataclass(frozen=True, slots=True)
class SheetShown:
    """A recovery sheet, without its codes.

    Attributes:
        made_at: When it was made.
        left: How many of its codes can still be used.
    """

    made_at: dt.datetime
    left: int


@dataclass(frozen=True, slots=True)
class WaysIn:
    """How somebody comes in beside the devices that are let in already.

    Attributes:
        passkeys: Their passkeys, in the order in which they were added.
        sheet: Their recovery sheet; none: they have none.
        confirmed: Whether they were let in so lately that they may change any of this.
        offered: Whether passkeys can be made and used at this address.
        why_not: Why not, where they cannot.
    """

    passkeys: tuple[PasskeyShown, ...]
    sheet: SheetShown | None
    confirmed: bool
    offered: bool
    why_not: str = ""


@dataclass(frozen=True, slots=True)
class NewSheet:
    """A recovery sheet that was just made; its codes are said this once."""

    codes: tuple[str, ...] = field(repr=False)
    made_at: dt.datetime
