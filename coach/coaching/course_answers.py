"""What is answered about a group's course: its versions, its steps, and what a version would change."""

# FastAPI reads these annotations at run time, so they are not postponed here.
from dataclasses import dataclass
from datetime import date
from typing import Literal

from coach.coaching.rules.course_changes import RuleChange, StepChange

VersionState = Literal["holds", "to come", "held", "kept"]


@dataclass(frozen=True, slots=True)
class VersionLine:
    """A version of a course.

    Attributes:
        digest: Its digest.
        course: The course's id.
        title: Its title.
        state: It holds, is to come, held earlier, or is kept and has never held here.
        since: The date from which it holds, or held; None: it is kept alone.
        added_on: The date on which it was brought, or made here; None: it comes with Steading.
    """

    digest: str
    course: str
    title: str
    state: VersionState
    since: date | None
    added_on: date | None


@dataclass(frozen=True, slots=True)
class KeptCourses:
    """Every version of the courses that a coach brought, the newest first."""

    courses: tuple[VersionLine, ...]


@dataclass(frozen=True, slots=True)
class StepWords:
    """A step of the course with how many lessons it has."""

    step: str
    title: str
    lessons: int


@dataclass(frozen=True, slots=True)
class GroupCourse:
    """The course of a group.

    Attributes:
        group: The group's id.
        course: The course's id.
        title: Its title.
        licence: Under which terms others may use it; empty: it does not say.
        digest: The version that is shown: the newest one that is kept, or the one that holds.
        holds: The version that holds today.
        steps: Its steps, in course order.
        versions: Those that hold, held or are to hold, the latest first, and then those that are kept alone.
        today: The date by which that is told.
    """

    group: str
    course: str
    title: str
    licence: str
    digest: str
    holds: str
    steps: tuple[StepWords, ...]
    versions: tuple[VersionLine, ...]
    today: date


@dataclass(frozen=True, slots=True)
class StepText:
    """The words of a step, to be changed.

    Attributes:
        digest: The version they are of.
        step: The step's id.
        file: Its file's name.
        title: Its title.
        text: Its lessons as the file has them: Markdown, where every heading of the first level begins one.
    """

    digest: str
    step: str
    file: str
    title: str
    text: str


@dataclass(frozen=True, slots=True)
class Move:
    """By how much the next step of a household that shares by name moves, if everything is kept from now on.

    Attributes:
        household: Its id.
        name: What it is called.
        before: The step that comes next now, by its title; empty: none within 200 days.
        before_on: Its date.
        after: The step that would come next; empty: none.
        after_on: Its date.
        days: By how many days later it comes, less than 0 for sooner; None: one of the two is none.
    """

    household: str
    name: str
    before: str
    before_on: date | None
    after: str
    after_on: date | None
    days: int | None

    @property
    def is_none(self) -> bool:
        """Whether the same step comes on the same date, or none under either."""
        return (self.before, self.before_on) == (self.after, self.after_on)


@dataclass(frozen=True, slots=True)
class Sums:
    """The same of the households that are counted, as of Sunday night.

    Attributes:
        households: How many were looked at; None: too few to tell.
        sooner: For how many the next step comes sooner.
        later: For how many it comes later.
        same: For how many it comes when it would, or comes in neither.
    """

    households: int | None
    sooner: int | None
    later: int | None
    same: int | None


@dataclass(frozen=True, slots=True)
class Changes:
    """What a version would change, and for whom.

    Attributes:
        digest: The version.
        title: Its title.
        since: The date from which it would hold.
        holds: The version that holds, which it is compared with.
        steps: Steps that are new, gone, renamed or reworded.
        rules: Rules that say something else.
        moves: For each household that shares by name.
        sums: For those that are counted.
        left_out: How many households that may be seen were not looked at, since there are too many.
    """

    digest: str
    title: str
    since: date
    holds: str
    steps: tuple[StepChange, ...]
    rules: tuple[RuleChange, ...]
    moves: tuple[Move, ...]
    sums: Sums
    left_out: int
