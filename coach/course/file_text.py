"""A file's bytes as text."""

from __future__ import annotations

import re

from coach.errors import Fault, FaultyFile

_LINE_END = re.compile(r"\r\n?")


def decoded(file: str, content: bytes) -> str:
    """A file's text, with line ends of any kind as newlines and without a byte order mark.

    Raises:
        FaultyFile: It is not UTF-8; the fault has the line of the first wrong byte.
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        reason = "this line is not UTF-8; save the file with the encoding UTF-8"
        raise FaultyFile((Fault(file, line, reason),)) from error
    return _LINE_END.sub("\n", text)
