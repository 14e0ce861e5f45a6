"""What is answered about how strict a course's rules are: what each of some rules costs."""

# FastAPI reads these annotations at run time, so they are not postponed here.
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class RuledCourse:
    """A version of a course as far as its rules go.

    Attributes:
        title: Its title.
        digest: The version.
        waiting: How many steps wait to settle.
        own: The rule by which most of them do, such as `3of4`.
        usual: The rules that are looked at where none is named, as a list such as `2of3,3of4`.
        paces: Its paces; what each adds is added to both numbers of every rule.
        hold: The share kept under which nothing new comes.
        hold_over: Of how many counted days.
        lapse_after: Empty days in a row that make a lapse.
    """

    title: str
    digest: str
    waiting: int
    own: str
    usual: str
    paces: tuple[str, ...]
    hold: float
    hold_over: int
    lapse_after: int


@dataclass(frozen=True, slots=True)
class CostAt:
    """What a rule costs somebody who keeps so much.

    Attributes:
        adherence: The chance of keeping a due day.
        p50: The day by which one in two is through; null: later than is told.
        p80: The day by which eight in ten are.
        lapsed: The share that has lapsed by day 60.
    """

    adherence: float
    p50: int | None
    p80: int | None
    lapsed: float


@dataclass(frozen=True, slots=True)
class RuleCost:
    """What a rule costs.

    Attributes:
        rule: Such as `3of4`, as a course has it at the pace that adds nothing.
        kept: Its first number: so many outcomes are kept.
        of: Its second: of so many of the latest.
        by_luck: The chance that a step kept on two days of five settles within 28 of them.
        exact: Whether the days are worked out and not simulated.
        lapses_exact: Whether the shares that lapse are.
        at: What it costs at each adherence.
    """

    rule: str
    kept: int
    of: int
    by_luck: float
    exact: bool
    lapses_exact: bool
    at: tuple[CostAt, ...]


@dataclass(frozen=True, slots=True)
class Strictness:
    """What rules cost beside each other; it recommends none.

    Attributes:
        group: The group's id.
        course: The course whose rules they take the place of.
        pace: The pace that is looked at.
        rules: The rules in the order in which they were asked for.
        luck_rate: The chance of keeping a day at which a step settles by luck.
        luck_days: Within how many days.
        lapsed_by: The day by which lapses are counted.
        quiet_begins: The chance, each day, that a household falls quiet, where lapses are counted.
        quiet_ends: The chance, each day, that one which is quiet marks again.
        households: How many are simulated for each figure that is not exact.
        farthest: For how many days they are followed.
    """

    group: str
    course: RuledCourse
    pace: str
    rules: tuple[RuleCost, ...]
    luck_rate: float
    luck_days: int
    lapsed_by: int
    quiet_begins: float
    quiet_ends: float
    households: int
    farthest: int
