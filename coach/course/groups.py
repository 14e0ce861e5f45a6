"""Groups of the catalogue: under which titles its steps are shown, read from the content of their file."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from coach.course.file_text import decoded
from coach.course.keys import Check, filled_text, list_of, table, table_faults
from coach.course.likely import meant
from coach.course.toml_text import read_toml
from coach.errors import Fault, FaultyFile

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from coach.course.toml_text import TomlText

GROUPS_FILE = "groups.toml"
"""The name of the file that groups a catalogue's steps."""
GROUP_KEYS: dict[str, Check] = {"title": filled_text, "steps": list_of(filled_text)}
"""What each table of that file has to hold."""


@dataclass(frozen=True, slots=True)
class StepGroup:
    """Steps that are shown together.

    Attributes:
        title: What they have in common, for people.
        steps: Their ids, in the order shown.
    """

    title: str
    steps: tuple[str, ...]


def groups_of(file: str, content: bytes, known: Collection[str]) -> tuple[StepGroup, ...]:
    """Read the groups, in the order of the file.

    Args:
        file: The file's name.
        content: Its bytes.
        known: The ids of the catalogue's steps.

    Raises:
        FaultyFile: Something is wrong with it; all faults are named.
    """
    toml = read_toml(decoded(file, content), file)
    checks = dict.fromkeys(toml.table, table(GROUP_KEYS, required=tuple(GROUP_KEYS)))
    faults = toml.faults(file, table_faults(checks, "", toml.table))
    faults = faults or list(_of_steps(file, toml, known))
    if faults:
        raise FaultyFile(tuple(faults))
    groups: Mapping[str, Mapping[str, Any]] = toml.table
    return tuple(StepGroup(group["title"], tuple(group["steps"])) for group in groups.values())


def _of_steps(file: str, toml: TomlText, known: Collection[str]) -> Iterator[Fault]:
    """A fault for every step that is not there, or stands in the groups more than once."""
    seen: dict[str, str] = {}
    for key, group in toml.table.items():
        for step in group["steps"]:
            line = toml.line_of(f"{key}.steps", step)
            if step not in known:
                yield Fault(file, line, f"the catalogue has no step “{step}”{meant(step, known)}")
            elif step in seen:
                reason = f"“{step}” stands in “{seen[step]}” already; take it out of one of them"
                yield Fault(file, line, reason)
            seen.setdefault(step, key)
