"""A sheet that was ticked on paper, entered as a whole: marks, tasks of the area and dues, all or nothing."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING

from coach.areas.passes import keep_passes
from coach.areas.week import done_rows
from coach.desk.dues import seen_to_rows
from coach.errors import Malformed, Newer
from coach.ground.wording import full_date
from coach.ground.writing import Decision, written
from coach.habits.answers import Clash
from coach.habits.hands import ONLINE, Tap
from coach.habits.several_days import several_rows
from coach.habits.signatures import title_of
from coach.habits.wording import newer_text
from coach.paper.entered import SheetClash
from coach.paper.sheet import sheet_in
from coach.progress.days import place_of
from coach.progress.log import Mark, What

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
    from datetime import date

    from coach.ground.plan_rows import PlanRow
    from coach.ground.ports import Context
    from coach.ground.rows import Signed
    from coach.ground.situation import Situation
    from coach.habits.answers import MarkName
    from coach.habits.several_days import Marks
    from coach.paper.answers import Sheet


@dataclass(frozen=True, slots=True)
class Entry:
    """What a sheet says that has been ticked.

    Attributes:
        marks: By date and step what its mark is to be; none takes it back. Weekday jobs are among the steps.
        tasks: By date and task of the areas whether it was done on that date.
        dues: The dates of dues that are seen to.
    """

    marks: Marks = field(default_factory=dict)
    tasks: Mapping[tuple[date, str], bool] = field(default_factory=dict)
    dues: Collection[tuple[date, str]] = ()


def enter(
    context: Context, household: str, week: str, entry: Callable[[Sheet], Entry], tap: Tap = ONLINE
) -> Sheet:
    """Enter a ticked sheet, and give it as it then stands.

    Only what is another than it was is written, in one transaction, and by nobody: paper does not say who.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        week: The sheet's week, such as 2027-W05.
        entry: Given the sheet as it stands, what it is to say.
        tap: What the marks say of themselves besides.

    Raises:
        NotStarted: The household has not chosen its first step.
        Malformed: There is no such week, or a date that is entered lies in another one.
        OutOfRange: The week lies before the start, or too far ahead.
        Unknown: There is no such step, task or due, or a date never happened.
        NotEditable: A date cannot be changed.
        Newer: Others' newer marks stand there; `now` has the sheet as `shown`, and those marks as `clashes`.
    """

    def decide(where: Situation) -> Decision[None]:
        sheet = sheet_in(where, week)
        wanted = entry(sheet)
        _refuse_other_weeks(sheet, [*wanted.marks, *(on for on, _ in wanted.tasks)])
        marks = several_rows(where, wanted.marks, tap, context.by)
        if marks.clashes:
            raise _newer(where, sheet, marks.clashes)
        tasks = _task_rows(where, wanted)
        dues = [row for on, due in sorted(wanted.dues) for row in seen_to_rows(where, due, on)]
        plan = [*marks.plan, *tasks, *dues]
        return Decision(None, log=marks.log, plan=plan, then=keep_passes if tasks else None)

    return written(replace(context, by=""), household, decide, lambda where, _: sheet_in(where, week))


def _task_rows(where: Situation, wanted: Entry) -> list[PlanRow]:
    return [
        row
        for (on, task), is_done in sorted(wanted.tasks.items())
        for row in done_rows(where, on, task, is_done=is_done)
    ]


def _refuse_other_weeks(sheet: Sheet, dates: Iterable[date]) -> None:
    for on in dates:
        if not sheet.first <= on <= sheet.last:
            raise Malformed(
                f"{full_date(on)} is no date of this sheet, which goes from {full_date(sheet.first)} to "
                f"{full_date(sheet.last)}."
            )


def _newer(where: Situation, sheet: Sheet, found: Sequence[Signed]) -> Newer:
    """That others' newer marks were left as they are, with the sheet as it stands."""
    names = where.reading.names_of({one.by for one in found})
    clashes = tuple(_clash(where, one, names.get(one.by, "")) for one in found)
    first = clashes[0]
    said = Clash(first.step, first.mark, first.by, first.name, first.at)
    return Newer(newer_text(said, first.title), {"shown": sheet, "clashes": clashes})


def _clash(where: Situation, last: Signed, name: str) -> SheetClash:
    step = where.state.present(last.step)
    mark: MarkName | None = None if last.what is What.CLEAR else Mark(last.what.value).value
    at = last.at.astimezone(place_of(where.home.zone))
    return SheetClash(last.date, step, title_of(where, step), mark, last.by, name, at)
