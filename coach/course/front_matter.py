"""Lesson files: TOML between two `+++` lines, then Markdown; and where in the file everything stands."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from coach.course.file_text import decoded
from coach.course.lesson_markup import unclosed_code
from coach.course.lesson_text import LessonText, lessons_of
from coach.course.toml_text import TomlText, read_toml
from coach.errors import Fault, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

FENCE = "+++"


@dataclass(frozen=True, slots=True)
class LessonFile:
    """One file, taken apart.

    Attributes:
        file: Its name.
        toml: What stands between the `+++` lines.
        text: The lessons below.
    """

    file: str
    toml: TomlText
    text: LessonText

    @property
    def table(self) -> Mapping[str, object]:
        """The keys of its front matter."""
        return self.toml.table

    def faults(self, found: Iterable[tuple[str, str]]) -> list[Fault]:
        """Put faults of keys where they stand, and add that a file without any lesson has none."""
        faults = self.toml.faults(self.file, found)
        if not self.text.lessons:
            faults.append(self._no_lesson())
        return faults

    def _no_lesson(self) -> Fault:
        if line := unclosed_code(self.text):
            reason = (
                "there is no lesson, since the code that begins here is never closed; end it as it begins"
            )
            return Fault(self.file, line, reason)
        return Fault(self.file, None, "there is no lesson; begin one with a heading “# ...”")

    def stray_text(self) -> list[Fault]:
        """A warning of text that no lesson would show."""
        if self.text.stray is None or not self.text.lessons:
            return []
        reason = "this text stands before the first heading, so no lesson shows it"
        return [Fault(self.file, self.text.stray, reason)]


@dataclass(frozen=True, slots=True)
class Halves:
    """A file with keys and Markdown, each half by itself.

    Attributes:
        toml: What stands between the `+++` lines.
        body: What follows them.
        first_line: The line on which that begins.
    """

    toml: TomlText
    body: str
    first_line: int


def lesson_file(file: str, content: bytes) -> LessonFile:
    """Take a file apart.

    Raises:
        FaultyFile: It is not UTF-8, has no front matter, or that is not TOML.
    """
    found = halves(file, content)
    return LessonFile(file, found.toml, lessons_of(found.body, first_line=found.first_line))


def halves(file: str, content: bytes) -> Halves:
    """The keys of a file, and the Markdown below them.

    Raises:
        FaultyFile: It is not UTF-8, has no front matter, or that is not TOML.
    """
    lines = decoded(file, content).split("\n")
    if lines[0].rstrip() != FENCE:
        reason = (
            f"this Markdown file has to begin with a line {FENCE}, then its keys, then {FENCE} again; "
            "if it is a note and no lesson file, end its name in .txt or move it out of the folder"
        )
        raise FaultyFile((Fault(file, 1, reason),))
    end = next((index for index, line in enumerate(lines) if index and line.rstrip() == FENCE), None)
    if end is None:
        reason = f"the line {FENCE} that ends the keys is missing; this one is never closed"
        raise FaultyFile((Fault(file, 1, reason),))
    toml = read_toml("\n".join(lines[1:end]), file, first_line=2)
    return Halves(toml, "\n".join(lines[end + 1 :]), end + 2)
