"""Two people edit a job's lines from one page: no change that only one of them made is lost."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from hypothesis import given
from hypothesis import strategies as st

from coach.web.pages.seen import Clash, Values, joined, seen_text
from coach.web.pages.week.line_form import (
    LinesForm,
    Sent,
    reordered,
    shown_again,
    values_of_lines,
)
from coach.week.rules.jobs import JobLine, JobPlan, changed

if TYPE_CHECKING:
    from collections.abc import Sequence

TITLES = st.sampled_from(["Dust", "Sweep", "Sills", "Basket"])
MINUTES = st.integers(0, 3)


@dataclass(frozen=True)
class Edit:
    """What one person does to the lines that are shown.

    Attributes:
        titles: New titles by line; empty: the line goes.
        minutes: New minutes by line.
        order: The shown lines as they are put.
        added: A new line, or none.
    """

    titles: dict[str, str]
    minutes: dict[str, int]
    order: tuple[str, ...]
    added: tuple[str, int] | None


@st.composite
def plans(draw: st.DrawFn) -> JobPlan:
    lines = draw(st.lists(st.tuples(TITLES, MINUTES), min_size=1, max_size=5))
    return JobPlan(tuple(JobLine(str(n), *line) for n, line in enumerate(lines, 1)), 30, len(lines) + 1)


@st.composite
def edits(draw: st.DrawFn, plan: JobPlan) -> Edit:
    ids = [line.id for line in plan.lines]
    some = st.dictionaries(st.sampled_from(ids), st.one_of(st.just(""), TITLES), max_size=2)
    order = draw(st.one_of(st.just(ids), st.permutations(ids)))
    added = draw(st.one_of(st.none(), st.tuples(TITLES, MINUTES)))
    return Edit(
        draw(some), draw(st.dictionaries(st.sampled_from(ids), MINUTES, max_size=2)), tuple(order), added
    )


def form(plan: JobPlan, edit: Edit) -> LinesForm:
    """The form that was shown with a plan, as it is sent after an edit."""
    ids = [line.id for line in plan.lines]
    by_id = {line.id: line for line in plan.lines}
    new = edit.added or ("", 0)
    return LinesForm(
        seen=seen_text(values_of_lines(as_rows(plan), plan.stop_after, ids)),
        order=" ".join(ids),
        line=[*edit.order, ""],
        title=[*(edit.titles.get(line, by_id[line].title) for line in edit.order), new[0]],
        minutes=[*(str(edit.minutes.get(line, by_id[line].minutes)) for line in edit.order), str(new[1])],
        stop_after=str(plan.stop_after or ""),
    )


def as_rows(plan: JobPlan) -> list[tuple[str, str, int]]:
    return [(line.id, line.title, line.minutes) for line in plan.lines]


def stands(plan: JobPlan, sent: Sent) -> Values:
    """The fields of a plan as a form sees them."""
    return values_of_lines(as_rows(plan), plan.stop_after, sent.form.shown)


def saved(plan: JobPlan, sent: Sent) -> tuple[JobPlan, tuple[str, ...]]:
    """The plan with a form joined into it, and the fields that both changed."""
    merged, clashing = joined(sent.form.seen, sent.form.take, sent.values, stands(plan, sent))
    return changed(plan, sent.lines_of(merged), int(merged["stop-after"])), clashing


def fields(lines: Sequence[JobLine]) -> dict[str, str | int]:
    """Each line's fields by their names."""
    named = {f"title:{line.id}": line.title for line in lines}
    return {**named, **{f"minutes:{line.id}": line.minutes for line in lines}}


@given(st.data())
def test_no_change_that_only_one_made_is_lost(data: st.DataObject) -> None:
    plan = data.draw(plans())
    hers, his = data.draw(edits(plan)), data.draw(edits(plan))
    first, _ = saved(plan, Sent.of(form(plan, hers)))
    second, clashing = saved(first, Sent.of(form(plan, his)))
    alone, _ = saved(plan, Sent.of(form(plan, his)))
    if clashing:
        return
    was, she, he, both = (fields(one.lines) for one in (plan, first, alone, second))
    for name in was:
        theirs = she.get(name) if he.get(name) == was[name] else he.get(name)
        assert both.get(name) == theirs
    shown = [line.id for line in plan.lines]
    added = [(line.title, line.minutes) for line in second.lines if line.id not in shown]
    assert added == [edit.added for edit in (hers, his) if edit.added]
    moved = [reordered(shown, [line.id for line in one.lines]) for one in (first, alone, second)]
    assert _same_way(moved[2], moved[0] if moved[1] == shown else moved[1], second)


def _same_way(found: Sequence[str], wanted: Sequence[str], plan: JobPlan) -> bool:
    """Whether the lines that are left stand in the order that one of the two gave them."""
    left = {line.id for line in plan.lines}
    return [one for one in found if one in left] == [one for one in wanted if one in left]


@given(st.data(), st.booleans())
def test_after_both_were_shown_each_field_is_as_one_chose(data: st.DataObject, take: bool) -> None:  # noqa: FBT001  drawn
    plan = data.draw(plans())
    first, _ = saved(plan, Sent.of(form(plan, data.draw(edits(plan)))))
    sent = Sent.of(form(plan, data.draw(edits(plan))))
    now = stands(first, sent)
    merged, clashing = joined(sent.form.seen, (), sent.values, now)
    shown = shown_again(Clash([], now, merged), sent)
    again = shown.form.model_copy(update={"seen": shown.seen, "take": list(clashing) if take else []})
    last, left = saved(first, Sent.of(again))
    assert not left
    kept, titles = fields(last.lines), [line.title for line in last.lines]
    for name in clashing:
        chosen = now.get(name) if take else sent.values.get(name)
        what, _, line = name.partition(":")
        if line and (take or f"title:{line}" in now):
            assert kept.get(name) == (chosen and (int(chosen) if what == "minutes" else chosen))
        elif line:
            assert sent.values[f"title:{line}"] in titles
