"""A course as one file: a ZIP whose bytes follow from its files, with what names it and its digest."""

from __future__ import annotations

import json
import stat
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING
from zipfile import ZIP_DEFLATED, ZIP_STORED, BadZipFile, ZipFile, ZipInfo
from zlib import error as DeflateError  # noqa: N812  an error in zlib's words

from coach.course.definition import id_fault
from coach.course.file_names import is_about, is_lesson_name
from coach.course.keys import said, shortened
from coach.course.readings import COURSE_FILE, digest_of
from coach.course.shapes import UNREADABLE
from coach.errors import Fault, Faults, FaultyFile
from coach.limits import PACKED_BYTES, PACKED_FILE_BYTES, PACKED_FILES, UNPACKED_BYTES

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

ABOUT = "packed.json"
"""The first file of a packed course: its id, title, licence and digest."""

FORMAT = 1
TEXT_FOLDERS = ("returning", "steady")
CAUTIONS = "cautions.toml"
_BEGINNING_OF_TIME = (1980, 1, 1, 0, 0, 0)
_ORDINARY = stat.S_IFREG | 0o644
_UNIX = 3
_ENCRYPTED = 0x1
_LEADING_ELSEWHERE = "\\:"
"""What parts folders on some systems, and would be a letter of a name on others."""

_FIRST = b"PK\x03\x04"
"""How a ZIP file begins that holds something (APPNOTE.TXT 4.3.7); what stands before it is none of it."""
_MEGABYTE = 1_000_000


@dataclass(frozen=True, slots=True)
class Packed:
    """What a packed course holds.

    Attributes:
        course: Its id, the same for all its versions.
        files: The bytes of its files by name, in the order in which they are read.
        digest: SHA-256 of them.
    """

    course: str
    files: Mapping[str, bytes]
    digest: str


def packed(course: str, files: Mapping[str, bytes], title: str, licence: str) -> bytes:
    """The file of a course: the same bytes for the same files, on whatever machine and day.

    Nothing in it is compressed, since what compressing gives depends on the library that does it.
    """
    ordered = in_order(files)
    about = {
        "format": FORMAT,
        "course": course,
        "title": title,
        "licence": licence,
        "digest": digest_of(ordered),
    }
    written = BytesIO()
    with ZipFile(written, "w", ZIP_STORED) as archive:
        text = json.dumps(about, ensure_ascii=False, indent=1) + "\n"
        for name, content in {ABOUT: text.encode(), **ordered}.items():
            entry = ZipInfo(name, _BEGINNING_OF_TIME)
            entry.create_system, entry.external_attr = _UNIX, _ORDINARY << 16
            archive.writestr(entry, content)
    return written.getvalue()


def in_order(files: Mapping[str, bytes]) -> dict[str, bytes]:
    """The files of a course: `course.toml`, its steps, and then what stands beside them, each by name."""
    return {name: files[name] for name in sorted(files, key=lambda name: (_place(name), name))}


def _place(name: str) -> int:
    if name == COURSE_FILE:
        return 0
    return 1 if "/" not in name and is_lesson_name(name) else 2


def is_packed_name(name: str) -> bool:
    """Whether a file of that name belongs into a packed course."""
    *folders, file = name.split("/")
    if not name.isprintable() or any(letter in name for letter in _LEADING_ELSEWHERE):
        return False
    if folders:
        return folders in [[folder] for folder in TEXT_FOLDERS] and _is_lesson(file)
    return file in {COURSE_FILE, CAUTIONS} or _is_lesson(file)


def _is_lesson(file: str) -> bool:
    return is_lesson_name(file) and not is_about(file)


def unpacked(content: bytes, file: str) -> Packed:
    """Read a packed course, without believing anything it says of itself.

    Args:
        content: Its bytes.
        file: What the person calls it.

    Raises:
        FaultyFile: It is none, holds too much, has names that lead elsewhere, or was changed since; every
            fault is named. What its files say is not looked at.
    """
    if len(content) > PACKED_BYTES:
        raise _refused(file, f"it has {_megabytes(len(content))}, and {_megabytes(PACKED_BYTES)} is the most")
    no_course = "this is no packed course that can be read; pack its folder with coach course pack"
    if not content.startswith(_FIRST):
        raise _refused(file, no_course)
    try:
        with ZipFile(BytesIO(content)) as archive:
            return _read(archive, file)
    except (BadZipFile, DeflateError, EOFError, NotImplementedError, OSError, *UNREADABLE) as error:
        raise _refused(file, no_course) from error


def _refused(file: str, reason: str) -> FaultyFile:
    return FaultyFile((Fault(file, None, reason),))


def _megabytes(size: int) -> str:
    return f"{size / _MEGABYTE:.2f} MB"


def _read(archive: ZipFile, file: str) -> Packed:
    entries = archive.infolist()
    if faults := Faults.of(_entry_faults(entries, file)):
        raise FaultyFile(faults)
    found: dict[str, bytes] = {}
    for entry in entries:
        with archive.open(entry) as source:
            # What an entry says of its size may be wrong, so no more is read than may be there.
            found[entry.filename] = source.read(PACKED_FILE_BYTES + 1)
        if len(found[entry.filename]) > PACKED_FILE_BYTES:
            raise _refused(file, _too_large(entry.filename))
        if sum(map(len, found.values())) > UNPACKED_BYTES:
            raise _refused(file, _too_much())
    return _as_it_says(found, file)


def _too_large(name: str) -> str:
    most = _megabytes(PACKED_FILE_BYTES)
    return f"{said(name)} in it has more than {most}, which is the most that is read; split that file"


def _too_much() -> str:
    return f"its files have more than {_megabytes(UNPACKED_BYTES)} together, which is the most that is read"


def _entry_faults(entries: list[ZipInfo], file: str) -> Iterator[Fault]:
    if len(entries) > PACKED_FILES:
        reason = f"it holds {len(entries):,} files, and {PACKED_FILES} is the most; make two courses of it"
        yield Fault(file, None, reason)
        return
    seen: set[str] = set()
    for entry in entries:
        fault = _entry_fault(entry, seen)
        if fault is not None:
            yield Fault(file, None, fault)
        seen.add(entry.filename)
    if sum(entry.file_size for entry in entries) > UNPACKED_BYTES:
        yield Fault(file, None, _too_much())
    for name in (ABOUT, COURSE_FILE):
        if name not in seen:
            yield Fault(file, None, f"{name} is missing in it; pack the folder with coach course pack")


def _entry_fault(entry: ZipInfo, seen: set[str]) -> str | None:
    name, mode = entry.filename, entry.external_attr >> 16
    if name in seen:
        return f"{said(name)} stands in it twice"
    if name != ABOUT and not is_packed_name(name):
        return f"{said(name)} does not belong into a packed course; leave it out"
    if stat.S_IFMT(mode) not in {0, stat.S_IFREG}:
        return f"{said(name)} in it is no ordinary file"
    if entry.flag_bits & _ENCRYPTED:
        return f"{said(name)} in it is locked with a password"
    if entry.compress_type not in {ZIP_STORED, ZIP_DEFLATED}:
        return f"{said(name)} in it is compressed in a way that is not read here"
    return _too_large(name) if entry.file_size > PACKED_FILE_BYTES else None


def _as_it_says(found: dict[str, bytes], file: str) -> Packed:
    """The files, once they are what the first of them says.

    Raises:
        FaultyFile: They are others, or it says nothing that can be read.
    """
    about = json.loads(found.pop(ABOUT))
    if about["format"] != FORMAT:
        raise _refused(file, "a newer Steading has packed it in another way; bring this one up to date")
    course, files = str(about["course"]), in_order(found)
    if id_fault(course):
        raise _refused(file, f"{ABOUT} in it: “{shortened(course)}” cannot be a course's id")
    digest = digest_of(files)
    if about["digest"] != digest:
        reason = "its files are not those that were packed; pack the folder anew with coach course pack"
        raise _refused(file, reason)
    return Packed(course, files, digest)
