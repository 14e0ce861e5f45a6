"""What lets somebody in: roles, devices, codes; the values alone."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal, NamedTuple

if TYPE_CHECKING:
    from datetime import datetime

Role = Literal["keeper", "member"]
Scope = Literal["write", "read"]
Kind = Literal["browser", "program"]
CodeKind = Literal["pairing", "invitation", "household", "coach"]

KEEPER: Role = "keeper"
MEMBER: Role = "member"


class Member(NamedTuple):
    """Somebody who belongs to a household.

    Attributes:
        person: Their key.
        name: What they are called.
        role: `keeper` or `member`.
        since: When they joined, aware.
    """

    person: str
    name: str
    role: Role
    since: datetime


@dataclass(frozen=True, slots=True)
class Session:
    """A device or a program that was let in.

    Attributes:
        id: Names it where it is listed.
        household: The household it was let into, or the one that was chosen since; empty: a coach's without
            one.
        person: Whose it is.
        kind: A browser, or a program with a token.
        scope: Whether it may write.
        name: What it is called: "kitchen phone".
        made_at: When it was let in, aware.
        seen_at: When it was last seen, aware; written at most hourly.
        ends_at: When it ends whatever happens, aware.
        as_coach: Whether it opens what its person does as a coach; it ends the sooner for it.
    """

    id: str
    household: str
    person: str
    kind: Kind
    scope: Scope
    name: str
    made_at: datetime
    seen_at: datetime
    ends_at: datetime
    as_coach: bool = False


@dataclass(frozen=True, slots=True)
class Code:
    """A code that lets somebody in.

    Attributes:
        household: The household it leads into; empty: into a new one, or to what a coach does.
        kind: For a device within minutes, or an invitation for days: for a member, a new household, a coach.
        person: Whom it was made for; empty: whoever uses it says who they are.
        made_by: The person who made it; empty: the household alone.
        uses: How often it can still be used.
        wrong: Wrong codes that were tried while it held.
        made_at: When it was made, aware.
        ends_at: When it is over, aware.
        group: The group that a new household comes into; empty: none.
        name: What the household or the coach that is invited is called, where that was said.
        begins: The letters it begins with, where these name it, so that wrong ones count against it alone.
    """

    household: str
    kind: CodeKind
    person: str
    made_by: str
    uses: int
    wrong: int
    made_at: datetime
    ends_at: datetime
    group: str = ""
    name: str = ""
    begins: str = ""
