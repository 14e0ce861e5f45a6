"""Steps as their files have them, faults and all, and what is wrong with them taken together."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.course.definition import id_fault, step_as_defined, step_faults
from coach.course.file_names import id_of
from coach.course.front_matter import LessonFile, lesson_file
from coach.course.graph import Needs, graph_faults
from coach.course.slugs import slug
from coach.errors import Fault, Faults, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from coach.course.graph import GraphFault
    from coach.course.model import Step


@dataclass(frozen=True, slots=True)
class Draft:
    """One step's file.

    Attributes:
        file: Its name.
        id: The step's id.
        content: The file taken apart; None if that failed.
        faults: What is wrong with it by itself.
    """

    file: str
    id: str
    content: LessonFile | None
    faults: Faults

    @property
    def needs(self) -> Needs | None:
        """What the step comes after; None if the file does not say so readably."""
        if self.content is None:
            return None
        after, after_any = (_names(self.content.table.get(key, [])) for key in ("after", "after_any"))
        return None if after is None or after_any is None else Needs(after, after_any)

    def line_of(self, key: str, value: str | None = None) -> int | None:
        """The line of a key, or of one text in its value."""
        return self.content.toml.line_of(key, value) if self.content else None

    def step(self) -> Step:
        """The step of a draft without faults."""
        if self.content is None or self.faults:
            raise FaultyFile(self.faults)
        return step_as_defined(self.id, self.content.table, self.content.text.lessons)


def draft(file: str, content: bytes) -> Draft:
    """Read one step's file."""
    step_id = id_of(file)
    faults = [Fault(file, None, reason)] if (reason := _name_fault(step_id)) else []
    try:
        parts = lesson_file(file, content)
    except FaultyFile as error:
        return Draft(file, step_id, None, Faults.of(faults, error.faults))
    return Draft(file, step_id, parts, Faults.of(faults, parts.faults(step_faults(parts.table))))


def _name_fault(step_id: str) -> str | None:
    reason, better = id_fault(step_id), slug(step_id)
    return f"{reason}; rename the file so that it is “{better}”" if reason and better else reason


def faults_together(drafts: Sequence[Draft], folder: str) -> Iterator[Fault]:
    """What is wrong with steps as a course: repeated ids, former ones that are no such, and their graph.

    Args:
        drafts: In course order.
        folder: What to call the whole of them.
    """
    for item in drafts:
        yield from repeated_ids(drafts, item)
    yield from _former_ids(drafts)
    first = {item.id: item for item in reversed(drafts)}
    needs = {item.id: first[item.id].needs for item in drafts}
    unread = [step for step, names in needs.items() if names is None]
    readable = {step: names for step, names in needs.items() if names is not None}
    for fault in graph_faults(readable, unread):
        yield _placed(fault, first[fault.step] if fault.step else None, folder)


def _names(value: object) -> tuple[str, ...] | None:
    if isinstance(value, list) and all(isinstance(name, str) for name in value):
        return tuple(value)
    return None


def repeated_ids(drafts: Sequence[Draft], item: Draft) -> Iterator[Fault]:
    """A fault if an earlier draft has the same id."""
    first = next(other for other in drafts if other.id == item.id)
    if first is not item:
        reason = f"the id “{item.id}” repeats: {first.file} has it already; rename one of the two"
        yield Fault(item.file, None, reason)


def _former_ids(drafts: Sequence[Draft]) -> Iterator[Fault]:
    """Faults of former ids: what a household has under one could not go on as one step."""
    present = {item.id: item for item in reversed(drafts)}
    had: dict[str, Draft] = {}
    for item in drafts:
        names = _names(item.content.table.get("formerly", [])) if item.content else None
        for place, name in enumerate(names or ()):
            if names is not None and name in names[:place]:
                reason = "stands here twice; take one out"
            elif name in present:
                reason = f"is the id of a step here ({present[name].file}); leave it out, or rename that file"
            elif name in had:
                reason = f"stands in {had[name].file} already; leave it with the one step that goes on"
            else:
                had[name] = item
                continue
            yield Fault(item.file, item.line_of("formerly", name), f"“formerly”: “{name}” {reason}")


def _placed(fault: GraphFault, item: Draft | None, folder: str) -> Fault:
    if item is None:
        return Fault(folder, None, fault.reason)
    return Fault(item.file, item.line_of(fault.key, fault.name), fault.reason)
