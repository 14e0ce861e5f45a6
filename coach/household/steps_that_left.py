"""Steps a log names that have left the course for the catalogue: they go on as the household's own."""

from __future__ import annotations

import json
from dataclasses import replace
from typing import TYPE_CHECKING

from coach.course.jsonform import step_table
from coach.progress.log import Row, What

if TYPE_CHECKING:
    from collections.abc import Mapping
    from datetime import date

    from coach.course.model import Course, Step
    from coach.progress.csvform import ReadLog


def with_steps_that_left(log: ReadLog, course: Course, catalogue: Mapping[str, Step]) -> ReadLog:
    """The log with a row that adds each step which only the catalogue has, on the first date it is named.

    A household that began with one begins with the course's first step beside it.
    """
    first = _first_dates(log, course, catalogue)
    rows: list[Row] = []
    lines: list[int] = []
    for line, row in zip(log.lines, log.rows, strict=True):
        if row.step in first and row.step not in {added.step for added in rows if added.what is What.ADD}:
            rows.append(Row(first[row.step], What.ADD, row.step, _definition(catalogue[row.step])))
            lines.append(line)
        begun = row.what is What.START and row.step in first
        rows.append(replace(row, step="") if begun else row)
        lines.append(line)
    return replace(log, rows=tuple(rows), lines=tuple(lines))


def _first_dates(log: ReadLog, course: Course, catalogue: Mapping[str, Step]) -> dict[str, date]:
    added = {row.step for row in log.rows if row.what is What.ADD}
    found: dict[str, date] = {}
    for row in log.rows:
        if row.step in catalogue and row.step not in added and course.named(row.step) is None:
            found[row.step] = min(row.date, found.get(row.step, row.date))
    return found


def _definition(step: Step) -> str:
    return json.dumps(step_table(step), ensure_ascii=False, separators=(",", ":"))
