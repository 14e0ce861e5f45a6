"""The words of a step's file changed, and nothing else of it."""

from __future__ import annotations

import json

from coach.course.file_text import decoded
from coach.course.front_matter import halves
from coach.errors import Fault, FaultyFile


def body_of(file: str, content: bytes) -> str:
    """What follows the keys of a step's file: its lessons, as they are written."""
    return halves(file, content).body


def reworded(file: str, content: bytes, title: str, text: str) -> bytes:
    """A step's file with another title and other lessons; its other keys stay as they are written.

    Raises:
        FaultyFile: Its title goes over several lines, or the new one cannot be written in one.
    """
    parts = halves(file, content)
    lines = decoded(file, content).split("\n")[: parts.first_line - 1]
    at = parts.toml.line_of("title") or 2
    if parts.toml.table.get("title") != title:
        lines[at - 1] = f"title = {json.dumps(title, ensure_ascii=False)}"
    body = text.replace("\r\n", "\n").replace("\r", "\n").rstrip("\n")
    found = ("\n".join(lines) + f"\n{body}\n").encode()
    if halves(file, found).toml.table != {**parts.toml.table, "title": title}:
        reason = "the title goes over several lines; change it in the file, and upload the course anew"
        raise FaultyFile((Fault(file, at, reason),))
    return found
