"""Lessons that belong to no step, and cautions: read from the content of their files."""

from __future__ import annotations

from dataclasses import dataclass

from coach.course.file_text import decoded
from coach.course.front_matter import LessonFile, lesson_file
from coach.course.keys import filled_text, one_of, table, table_faults, truth, whole
from coach.course.model import Caution, Lesson
from coach.course.placeholders import unknown_names
from coach.course.toml_text import read_toml
from coach.errors import Fault, FaultyFile

OCCASIONS = ("return", "rebuilding", "missed", "paused", "steady")
_TEXT_KEYS = {"when": one_of(*OCCASIONS), "from_days": whole(0), "after_pause": truth}
_CAUTION_KEYS = {"title": filled_text, "text": filled_text, "source": filled_text}


@dataclass(frozen=True, slots=True)
class TextFile:
    """Lessons for a kind of day.

    Attributes:
        when: `return`, `rebuilding`, `missed` (the day after a miss), `paused` or `steady`.
        from_days: For a return, the least number of days away it is meant for.
        after_pause: Whether it is for the return from a pause.
    """

    when: str
    from_days: int | None = None
    after_pause: bool = False
    lessons: tuple[Lesson, ...] = ()


@dataclass(frozen=True, slots=True)
class TextDraft:
    """A text with the file it was read from."""

    text: TextFile
    content: LessonFile


def text_draft(file: str, content: bytes) -> TextDraft:
    """Read one file of lessons that belong to no step.

    Raises:
        FaultyFile: Something is wrong with it; all faults are named.
    """
    parts = lesson_file(file, content)
    faults = parts.faults(table_faults(_TEXT_KEYS, "", parts.table, required=("when",)))
    faults += [Fault(file, line + 1, reason) for line, reason in unknown_names(decoded(file, content))]
    if faults:
        raise FaultyFile(tuple(faults))
    text = TextFile(**parts.table, lessons=parts.text.lessons)  # type: ignore[arg-type]  # checked above
    return TextDraft(text, parts)


def cautions_of(file: str, content: bytes) -> dict[str, Caution]:
    """Read the cautions by key.

    Raises:
        FaultyFile: Something is wrong with them; all faults are named.
    """
    toml = read_toml(decoded(file, content), file)
    checks = dict.fromkeys(toml.table, table(_CAUTION_KEYS, required=tuple(_CAUTION_KEYS)))
    faults = toml.faults(file, table_faults(checks, "", toml.table))
    if faults:
        raise FaultyFile(tuple(faults))
    return {key: Caution(key, **values) for key, values in toml.table.items()}
