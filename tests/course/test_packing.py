"""A course as one file: the same bytes each time, and nothing believed of one that somebody sends."""

from __future__ import annotations

import io
import json
import struct
import zipfile
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.course.packing import ABOUT, in_order, packed, unpacked
from coach.course.readings import digest_of
from coach.errors import FaultyFile
from coach.limits import PACKED_BYTES, PACKED_FILE_BYTES, PACKED_FILES

if TYPE_CHECKING:
    from collections.abc import Callable

STEP = b'+++\ntitle = "Bed"\n+++\n# Covers\nText.\n'
FILES = {
    "course.toml": b'title = "Own"\n',
    "01-bed.md": STEP,
    "steady/01-a.md": b"text",
    "cautions.toml": b"",
}


def about(files: dict[str, bytes], **other: object) -> bytes:
    known = {
        "format": 1,
        "course": "own",
        "title": "Own",
        "licence": "",
        "digest": digest_of(in_order(files)),
    }
    return json.dumps({**known, **other}).encode()


def zipped(
    files: dict[str, bytes], change: Callable[[zipfile.ZipInfo], None] | None = None, **other: object
) -> bytes:
    """A file as somebody else's program would write it."""
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in {ABOUT: about(files, **other), **files}.items():
            entry = zipfile.ZipInfo(name, (2026, 5, 6, 7, 8, 10))
            entry.compress_type = zipfile.ZIP_DEFLATED
            if change is not None:
                change(entry)
            archive.writestr(entry, content)
    return written.getvalue()


def refused(content: bytes) -> list[str]:
    with pytest.raises(FaultyFile) as found:
        unpacked(content, "own.zip")
    assert {fault.file for fault in found.value.faults} == {"own.zip"}
    return [fault.reason for fault in found.value.faults]


def test_a_packed_course_is_read_back_as_it_was() -> None:
    found = unpacked(packed("own", FILES, "Own", "CC0"), "own.zip")
    assert (found.course, dict(found.files), found.digest) == ("own", FILES, digest_of(in_order(FILES)))


def test_the_same_files_give_the_same_bytes_in_whatever_order_they_come() -> None:
    backwards = dict(reversed(FILES.items()))
    content = packed("own", backwards, "Own", "CC0")
    assert content == packed("own", FILES, "Own", "CC0")
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        entries = archive.infolist()
        told = json.loads(archive.read(ABOUT))
    assert [entry.filename for entry in entries] == [
        *("packed.json", "course.toml", "01-bed.md", "cautions.toml", "steady/01-a.md")
    ]
    assert {(entry.date_time, entry.compress_type) for entry in entries} == {((1980, 1, 1, 0, 0, 0), 0)}
    assert (told["licence"], told["digest"]) == ("CC0", digest_of(in_order(FILES)))


def test_one_that_another_program_packed_is_read_too() -> None:
    assert dict(unpacked(zipped(FILES), "own.zip").files) == FILES


@pytest.mark.parametrize(
    "name",
    [
        *(
            "../01-bed.md",
            "/01-bed.md",
            "steady/../../01-bed.md",
            "C:01-bed.md",
            "steady\\01-b.md",
            ".hidden.md",
        ),
        *("lessons/01-bed.md", "run.sh", "steady/", "README.md", "steady/README.md", "bed.md\n", "a\0b.md"),
    ],
)
def test_names_that_lead_elsewhere_or_do_not_belong_are_refused(name: str) -> None:
    [reason] = [one for one in refused(zipped({**FILES, name: b""})) if "digest" not in one]
    assert "does not belong into a packed course" in reason


def test_every_entry_at_fault_is_named_at_once() -> None:
    def as_link(entry: zipfile.ZipInfo) -> None:
        if entry.filename == "01-bed.md":
            entry.external_attr = 0o120777 << 16

    reasons = refused(zipped({"01-bed.md": STEP, "../a.md": b"", "b.sh": b""}, as_link))
    assert len(reasons) == 4
    assert [reason for reason in reasons if "no ordinary file" in reason]
    assert [reason for reason in reasons if "course.toml is missing" in reason]


def test_one_that_would_unpack_to_too_much_is_refused_by_what_it_says() -> None:
    bomb = zipped({**FILES, "02-large.md": b" " * (PACKED_FILE_BYTES + 1)})
    assert len(bomb) < 5000
    assert "the most that is read" in refused(bomb)[0]
    many = {f"{number:03}-a.md": b"x" * 200_000 for number in range(60)}
    assert "together" in refused(zipped({**FILES, **many}))[0]


def test_one_that_lies_about_its_sizes_is_never_read_further_than_it_may_be() -> None:
    content = bytearray(zipped({**FILES, "02-large.md": b" " * 3_000_000}))
    for place in range(len(content) - 30):
        if content[place : place + 4] == b"PK\1\2" and b"02-large.md" in content[place + 46 : place + 57]:
            content[place + 24 : place + 28] = struct.pack("<I", 100)
    assert refused(bytes(content))


def test_too_many_files_and_too_large_a_file_are_refused_before_anything_is_unpacked() -> None:
    assert "is the most" in refused(zipped({f"{n}-a.md": b"" for n in range(PACKED_FILES + 1)}))[0]
    assert "is the most" in refused(b"PK" * PACKED_BYTES)[0]


def test_one_whose_files_were_changed_since_is_refused() -> None:
    assert "are not those that were packed" in refused(zipped(FILES, digest="0" * 64))[0]


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"PK",
        b"no zip at all",
        packed("own", FILES, "", "")[:-40],
        packed("own", FILES, "", "")[40:],
        b"#!/bin/sh\n" + packed("own", FILES, "", ""),
    ],
)
def test_what_is_no_packed_course_is_said_to_be_none(content: bytes) -> None:
    assert "no packed course" in refused(content)[0]


@pytest.mark.parametrize("other", [{"course": "../x"}, {"course": ["a"]}, {"format": 2}, {"digest": None}])
def test_what_it_says_of_itself_is_looked_at(other: dict[str, object]) -> None:
    assert refused(zipped(FILES, None, **other))


def test_one_with_a_password_and_one_with_a_name_twice_are_refused() -> None:
    content = bytearray(zipped(FILES))
    place = content.index(b"PK\1\2")
    content[place + 8] |= 1
    assert "locked with a password" in refused(bytes(content))[0]
    twice = bytearray(zipped({**FILES, "01-bad.md": STEP}))
    assert "twice" in refused(bytes(twice).replace(b"01-bad.md", b"01-bed.md"))[0]


@settings(max_examples=150, deadline=None)
@given(st.data())
def test_a_spoiled_file_is_refused_in_words_or_holds_what_was_packed(data: st.DataObject) -> None:
    content = bytearray(data.draw(st.sampled_from([packed("own", FILES, "Own", ""), zipped(FILES)])))
    for _ in range(data.draw(st.integers(1, 4))):
        content[data.draw(st.integers(0, len(content) - 1))] = data.draw(st.integers(0, 255))
    try:
        found = unpacked(bytes(content), "own.zip")
    except FaultyFile:
        return
    assert dict(found.files) == FILES
