"""What a household is told of its people, of what is paired with it, and of what happened at its door."""

# Pydantic reads these annotations at run time.
import datetime as dt
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Known:
    """Somebody of a household, as one who pairs sees them."""

    person: str
    name: str


@dataclass(frozen=True, slots=True)
class Names:
    """Whom one who has a code can say they are.

    Attributes:
        people: The household's people; only the one it was made for, if it was made for one.
        is_given: Whether the code says who it is.
        kind: What the code is for; one for a `household` begins a new one, and is enrolled with.
        called: What the household or the coach that is invited is called, where that was said.
    """

    people: tuple[Known, ...]
    is_given: bool
    kind: str = "pairing"
    called: str = ""


@dataclass(frozen=True, slots=True)
class Device:
    """A browser that was let in.

    Attributes:
        id: Names it.
        name: What it is called.
        person: Whose it is.
        person_name: What that person is called.
        first_seen: When it was let in.
        last_seen: When it was last seen, to the hour.
        ends_at: When it ends whatever happens.
        this: Whether it is the one that asks.
    """

    id: str
    name: str
    person: str
    person_name: str
    first_seen: dt.datetime
    last_seen: dt.datetime
    ends_at: dt.datetime
    this: bool


@dataclass(frozen=True, slots=True)
class Devices:
    """The devices that one may see."""

    devices: tuple[Device, ...]


@dataclass(frozen=True, slots=True)
class Token:
    """A token of a program, without what it shows.

    Attributes:
        id: Names it.
        name: What it is for.
        scope: `read` or `write`.
        person: Whose it is.
        person_name: What that person is called.
        made_at: When it was made.
        last_seen: When it was last used, to the hour.
        ends_at: When it ends.
    """

    id: str
    name: str
    scope: str
    person: str
    person_name: str
    made_at: dt.datetime
    last_seen: dt.datetime
    ends_at: dt.datetime


@dataclass(frozen=True, slots=True)
class Tokens:
    """The tokens that one may see."""

    tokens: tuple[Token, ...]


@dataclass(frozen=True, slots=True)
class NewToken:
    """A token that was just made; what it shows is said this once."""

    secret: str = field(repr=False)
    token: Token


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who belongs to the household.

    Attributes:
        person: Their key.
        name: What they are called.
        role: `keeper` or `member`.
        since: When they joined.
        you: Whether it is the one who asks.
    """

    person: str
    name: str
    role: str
    since: dt.datetime
    you: bool


@dataclass(frozen=True, slots=True)
class People:
    """Who belongs to the household, in the order in which they joined."""

    people: tuple[Person, ...]


@dataclass(frozen=True, slots=True)
class Invitation:
    """An invitation into a group, without its letters.

    Attributes:
        uses: How many households it still lets in.
        made_at: When it was made.
        ends_at: When it is over.
    """

    uses: int
    made_at: dt.datetime
    ends_at: dt.datetime


@dataclass(frozen=True, slots=True)
class Invitations:
    """The invitations into a group that hold, the newest first."""

    invitations: tuple[Invitation, ...]


@dataclass(frozen=True, slots=True)
class Home:
    """A household that somebody belongs to.

    Attributes:
        household: Its key.
        name: What it is called.
        role: What they are there: `keeper` or `member`.
        chosen: Whether it is the one that is asked about.
    """

    household: str
    name: str
    role: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Homes:
    """The households of one person, in the order in which they joined them."""

    homes: tuple[Home, ...]


@dataclass(frozen=True, slots=True)
class AtTheDoor:
    """Something that happened at the household's door; never a code or a token."""

    at: dt.datetime
    way: str
    outcome: str
    person_name: str
    device: str
    address: str
