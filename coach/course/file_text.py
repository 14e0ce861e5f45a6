"""A file's bytes as text."""

from __future__ import annotations

import re

from coach.errors import Fault, FaultyFile

_LINE_END = re.compile(r"\r\n?")


def decoded(file: str, content: bytes) -> str:
    """A file's text, with line ends of any kind as newlines and without a byte order mark.

    Raises:
        FaultyFile: It is not UTF-8 or holds a NUL character; the fault has the line of the first one.
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        reason = "this line is not UTF-8; save the file with the encoding UTF-8"
        raise FaultyFile((Fault(file, line, reason),)) from error
    text = _LINE_END.sub("\n", text)
    if (place := text.find("\0")) >= 0:
        reason = (
            "a NUL character stands on this line, which no text has; take it out, "
            "or save the file with the encoding UTF-8 if it has another"
        )
        raise FaultyFile((Fault(file, text.count("\n", 0, place) + 1, reason),))
    return text
