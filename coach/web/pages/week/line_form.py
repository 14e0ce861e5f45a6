"""The form of a job's lines: each line two fields of its own, so that two people can change a list at once.

What somebody else has added or moved meanwhile is told from the lines that the form was shown with (`order`).
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from pydantic import Field

from coach.course.keys import is_blank
from coach.errors import Malformed
from coach.web.pages.fields import whole_minutes
from coach.web.pages.seen import SeenForm, Shown, Values, seen_text
from coach.week.jobs import WantedLine

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from typing import Self

    from coach.web.pages.seen import Clash
    from coach.week.answers import Job

PLACES = {"up": -1, "down": 1}
NEW = "+"
"""What the names of lines begin with that have no id yet."""

ORDER, LINES, END = "order", "lines", "stop-after"
"""The fields beside each line's own: how the shown lines are ordered, which lines there are, and the end."""


class LinesForm(SeenForm):
    """All lines as typed, the last of them new; a line whose title was emptied goes.

    Attributes:
        order: The ids of the lines as they stood when it was shown.
        line: The lines' ids; empty for a new one.
        do: What was tapped: `save`, or `up:3`, `down:3` or `remove:3` for the line of that id.
    """

    order: str = ""
    line: list[str] = Field(default_factory=list)
    title: list[str] = Field(default_factory=list)
    minutes: list[str] = Field(default_factory=list)
    stop_after: str = ""
    do: str = "save"

    @property
    def shown(self) -> list[str]:
        """The ids of the lines it was shown with."""
        return self.order.split() if self.seen else [line for line in self.line if line]


def names(form: LinesForm) -> list[str]:
    """A name for each line of the form: its id, or one of its own for a new one.

    Raises:
        Malformed: Fields are missing, or a line is there twice.
    """
    if not len(form.line) == len(form.title) == len(form.minutes):
        raise Malformed("A field of the form is missing. Open the page again.")
    found = [line or f"{NEW}{place}" for place, line in enumerate(form.line)]
    if len(set(found)) < len(found):
        raise Malformed("A line is there twice. Each can stand in one place only.")
    return found


def values_in(form: LinesForm) -> Values:
    """The fields of a form that was sent, after the tap.

    Raises:
        Malformed: Fields are missing, or minutes cannot be read.
    """
    values: Values = {}
    removed = form.do.removeprefix("remove:")
    for name, title, minutes in zip(names(form), form.title, form.minutes, strict=True):
        if not is_blank(title) and name != removed:
            values[f"title:{name}"] = title.strip()
            values[f"minutes:{name}"] = str(whole_minutes(f"“{title.strip()[:40]}”", minutes) or 0)
    stop_after = whole_minutes("the end", form.stop_after)
    kept = [line for line in typed_order(form) if f"title:{line}" in values]
    return values | {
        ORDER: " ".join(reordered(form.shown, kept)),
        LINES: " ".join(form.shown),
        END: "" if stop_after is None else str(stop_after),
    }


def typed_order(form: LinesForm) -> list[str]:
    """The names of the form's lines in their order after the tap."""
    found, typed = names(form), dict(zip(names(form), form.title, strict=True))
    what, _, line = form.do.partition(":")
    if what not in PLACES or line not in found:
        return found
    # It moves past a line that stays, not past one that goes.
    others = [one for one in found if one != line and not is_blank(typed[one])]
    before = sum(one in others for one in found[: found.index(line)])
    others.insert(max(0, before + PLACES[what]), line)
    return others


def reordered(shown: Sequence[str], order: Sequence[str]) -> list[str]:
    """The shown lines as another order has them; those that it does not have keep their places."""
    moved = [line for line in order if line in shown]
    following = iter(moved)
    return [next(following) if line in moved else line for line in shown]


def values_of(job: Job, shown: Sequence[str]) -> Values:
    """A job's fields as they stand, for a form that was shown with these lines."""
    lines = [(line.line, line.title, line.minutes) for line in job.lines]
    return values_of_lines(lines, job.stop_after, shown)


def values_of_lines(
    lines: Sequence[tuple[str, str, int]], stop_after: int | None, shown: Sequence[str]
) -> Values:
    """The fields of lines, each its id, its title and its minutes, for a form that was shown with these."""
    ids = [line for line, _, _ in lines]
    titles = {f"title:{line}": title for line, title, _ in lines}
    minutes = {f"minutes:{line}": str(number) for line, _, number in lines}
    order, end = " ".join(reordered(shown, ids)), str(stop_after or "")
    return {**titles, **minutes, ORDER: order, LINES: " ".join(ids), END: end}


def placed(values: Mapping[str, str], typed: Sequence[str]) -> list[str]:
    """The names of all lines of joined fields, in their order; new ones come last.

    Args:
        values: The joined fields.
        typed: The names of the form's lines in its order.
    """
    there = {name.partition(":")[2] for name in values if name.startswith(("title:", "minutes:"))}
    found = [line for line in values[ORDER].split() if line in there]
    for source in (values[LINES].split(), [line for line in typed if not line.startswith(NEW)]):
        for place, line in enumerate(source):
            if line in there and line not in found:
                before = [one for one in source[:place] if one in found]
                found.insert(found.index(before[-1]) + 1 if before else 0, line)
    return [*found, *(line for line in typed if line.startswith(NEW) and line in there)]


def label_among(lines: Sequence[str], name: str) -> str:
    """What a field is called, where these lines stand in this order."""
    what, _, line = name.partition(":")
    if not line:
        return {ORDER: "The order of the lines", END: "The job ends after so many minutes"}[name]
    which = f"line {lines.index(line) + 1}" if line in lines else "a line"
    return f"Minutes of {which}" if what == "minutes" else which.capitalize()


@dataclass(frozen=True, slots=True)
class Sent:
    """The form as it was sent.

    Attributes:
        values: Its fields, after the tap.
        typed: The names of its lines in its order, after the tap.
    """

    form: LinesForm
    values: Values
    typed: Sequence[str]

    @classmethod
    def of(cls, form: LinesForm) -> Self:
        """What a form says; who takes one field of a line that only one of the two has takes it whole.

        Raises:
            Malformed: Fields are missing, or minutes cannot be read.
        """
        values = values_in(form)
        taken = {name.partition(":")[2] for name in form.take if ":" in name}
        lines = [line for line in taken if line not in form.shown or f"title:{line}" not in values]
        also = [f"{name}:{line}" for line in lines for name in ("title", "minutes")]
        return cls(form.model_copy(update={"take": [*form.take, *also]}), values, typed_order(form))

    def lines(self, joined: Mapping[str, str]) -> list[WantedLine]:
        """The lines of joined fields; one that has lost a field to somebody else has it as it was sent."""
        both = {**self.values, **joined}
        return [
            WantedLine(line, both.get(f"title:{line}", ""), int(both.get(f"minutes:{line}", "0")))
            for line in placed(joined, self.typed)
        ]

    def lines_of(self, joined: Mapping[str, str]) -> list[WantedLine]:
        """The same as their use case takes them: a line that is not there, or not any more, is a new one."""
        known = joined[LINES].split()
        return [line if line.line in known else line._replace(line=None) for line in self.lines(joined)]

    def label(self, name: str) -> str:
        """What a field is called."""
        return label_among(self.typed, name)

    def words(self, name: str, text: str) -> str:
        """What a field says to a person."""
        if name != ORDER:
            return text
        titles = (self.values.get(f"title:{line}") for line in text.split())
        return "; ".join(title for title in titles if title)


def shown_as_it_is(job: Job) -> Shown[LinesForm]:
    """The form of a job's lines as they stand."""
    ids = [line.line for line in job.lines]
    form = LinesForm(
        order=" ".join(ids),
        line=ids,
        title=[line.title for line in job.lines],
        minutes=[str(line.minutes) for line in job.lines],
        stop_after=str(job.stop_after or ""),
    )
    return Shown(form, seen_text(values_of(job, ids)))


def shown_again(clash: Clash, sent: Sent) -> Shown[LinesForm]:
    """The form as it would be saved, with what both changed."""
    lines, order = sent.lines(clash.merged), clash.now[LINES]
    form = LinesForm(
        order=order,
        line=["" if str(line.line).startswith(NEW) else str(line.line) for line in lines],
        title=[line.title for line in lines],
        minutes=[str(line.minutes) for line in lines],
        stop_after=clash.merged[END],
    )
    # A line has the number by which the form now shows it.
    names_now = [str(line.line) for line in lines]
    both = [replace(one, label=label_among(names_now, one.name)) for one in clash.both]
    return Shown(form, seen_text(clash.now | {ORDER: order}), both)
