"""What the names of lesson files say: whether a file is read, its place in the order, and a step's id."""

from __future__ import annotations

import re
from pathlib import PurePath
from typing import TYPE_CHECKING

from coach.course.slugs import slug
from coach.errors import Fault

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

EXTENSION = ".md"
_LEADING_NUMBER = re.compile(r"([0-9]+)[-_. ]+(?=.)")
_USUAL_ID = re.compile(r"[a-z0-9-]*")
_ABOUT = "readme"
# What editors put at the end of a text's name instead of .md, or behind it.
_LIKE_LESSONS = {"", ".txt", ".text", ".markdown", ".mdown", ".mkd"}


def id_of(file: str) -> str:
    """A step's id: its file's name without the leading number and the extension."""
    name = file[: -len(EXTENSION)] if is_lesson_name(file) else file
    return _LEADING_NUMBER.sub("", name, count=1) if _LEADING_NUMBER.match(name) else name


def is_lesson_name(file: str) -> bool:
    """Whether a file of that name is read: it ends in `.md` and is not hidden."""
    return file.lower().endswith(EXTENSION) and not file.startswith(".")


def is_about(file: str) -> bool:
    """Whether that is the name of a file about its folder, such as `README.md`."""
    return PurePath(file).stem.casefold() == _ABOUT


def may_be_meant(file: str) -> bool:
    """Whether a file of that name, which is not read, might be meant for a lesson: `01-a.txt`, `01-a`."""
    return PurePath(file).suffix.lower() in _LIKE_LESSONS and not file.startswith(".")


def as_lesson_name(file: str) -> str:
    """The name such a file should have."""
    path = PurePath(file)
    bare = path.stem if path.suffix.lower() in _LIKE_LESSONS else file
    return bare if is_lesson_name(bare) else f"{bare}{EXTENSION}"


def name_doubts(files: Sequence[str]) -> Iterator[Fault]:
    """What is doubtful about the names of files that are read, given in their order."""
    yield from order_doubts(files)
    for file in files:
        step = id_of(file)
        if not _USUAL_ID.fullmatch(step) and (better := slug(step)):
            reason = f"ids are small letters, digits and hyphens; “{better}” reads better than “{step}”"
            yield Fault(file, None, reason)


def order_doubts(files: Iterable[str]) -> Iterator[Fault]:
    """Files whose numbers are out of order, since names are sorted as text: `10-` comes before `9-`."""
    before, greatest = "", -1
    for file in files:
        match = _LEADING_NUMBER.match(file)
        if match is None:
            continue
        if int(match[1]) > greatest:
            before, greatest = file, int(match[1])
        elif int(match[1]) < greatest:
            padded = match[1].zfill(len(str(greatest))) + file[match.end(1) :]
            reason = (
                f"names are sorted as text, so {before} comes before this one; "
                f"pad the number with a nought: {padded}"
            )
            yield Fault(file, None, reason)
