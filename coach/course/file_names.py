"""What the names of lesson files say: whether a file is read, its place in the order, and a step's id."""

from __future__ import annotations

import re

EXTENSION = ".md"
_LEADING_NUMBER = re.compile(r"[0-9]+[-_. ]+(?=.)")


def id_of(file: str) -> str:
    """A step's id: its file's name without the leading number and the extension."""
    name = file[: -len(EXTENSION)] if is_lesson_name(file) else file
    return _LEADING_NUMBER.sub("", name, count=1) if _LEADING_NUMBER.match(name) else name


def is_lesson_name(file: str) -> bool:
    """Whether a file of that name is read: it ends in `.md` and is not hidden."""
    return file.lower().endswith(EXTENSION) and not file.startswith(".")
