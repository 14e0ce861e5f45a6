"""Sets values into pages: templates are ours; what a household typed comes in as data, never as a source."""

from __future__ import annotations

import json
import unicodedata
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Lock
from typing import TYPE_CHECKING, Any

from coach.errors import NotReady
from coach.press import faces, letters

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from typst import Fonts, TypstWarning

TEMPLATES = Path(__file__).parent / "templates"
STANDARD = "ua-1"
"""ISO 14289-1, what makes a PDF readable to whoever does not see it."""
MOST_LETTERS = 20
"""How many letters that cannot be printed are named."""
_PAGES_REMEMBERED = 10
_NOT_THERE = "could not be displayed"
_TINY = b"""#set document(title: "x", date: none)
#set page(width: 80pt, height: 40pt)
#set text(lang: "en", font: json(bytes(sys.inputs.faces)))
#json(bytes(sys.inputs.data))
"""
_ONE_AT_A_TIME = Lock()
"""The library keeps what it worked out in one memory; two pages at once would only take turns in it."""


@dataclass(frozen=True, slots=True)
class Form:
    """A kind of printed page.

    Attributes:
        parts: The names of its templates, in order; the first ones are what the others stand on.
    """

    parts: tuple[str, ...]

    @property
    def source(self) -> bytes:
        """The whole template."""
        return _source(self.parts)


class _Lacking(Exception):
    """A page has a letter that none of the faces at hand has."""


@cache
def _source(parts: tuple[str, ...]) -> bytes:
    return b"\n".join((TEMPLATES / f"{part}.typ").read_bytes() for part in parts)


def with_faces(data: Any, work: Callable[[Any, Fonts], Any]) -> Any:  # noqa: ANN401  what the work gives
    """Do some work with our own faces, and again with the machine's where a letter is lacking.

    Raises:
        NotReady: A letter is in no face of the machine's either.
    """
    with _ONE_AT_A_TIME:
        try:
            return _worked(data, work)
        finally:
            _forget()


def _worked(data: Any, work: Callable[[Any, Fonts], Any]) -> Any:  # noqa: ANN401  what the work gives
    for known, fonts in _tries(data):
        try:
            return work(known, fonts())
        except _Lacking:
            continue
    raise NotReady(_said(_lacking(_without_unknown(data))))


def _tries(data: Any) -> Iterator[tuple[Any, Callable[[], Fonts]]]:  # noqa: ANN401  whatever the template reads
    """What a page is tried with, one after the other: most need our own faces and no more."""
    yield data, faces.own
    yield data, faces.with_the_machines
    yield _without_unknown(data), faces.with_the_machines


def _without_unknown(data: Any) -> Any:  # noqa: ANN401  the same
    unknown = {letter for text in letters.texts_in(data) for letter in text if letters.is_unknown(letter)}
    return letters.exchanged(data, frozenset(unknown))


def _forget() -> None:
    """Let the library forget what it worked out, some 40 MB a page: it drops what ten pages did not use."""
    with _nowhere() as place:
        for _ in range(_PAGES_REMEMBERED):
            faces.library().compile(b"", format="svg", **place, font_paths=faces.none())


def asked(form: Form, data: Any, fonts: Fonts, label: str) -> Any:  # noqa: ANN401  whatever the template says
    """What a template says under a label, without making a PDF."""
    with _nowhere() as place:
        said = faces.library().query(
            form.source,
            f"<{label}>",
            field="value",
            one=True,
            **place,
            font_paths=fonts,
            sys_inputs=_inputs(data),
        )
    return json.loads(said)


def printed(form: Form, data: Any, fonts: Fonts) -> bytes:  # noqa: ANN401  whatever the template reads
    """The bytes of a PDF; the same values give the same ones."""
    library = faces.library()
    try:
        with _nowhere() as place:
            pdf, warnings = library.compile_with_warnings(
                form.source,
                format="pdf",
                pdf_standards=[STANDARD],
                **place,
                font_paths=fonts,
                sys_inputs=_inputs(data),
            )
    except library.TypstError as error:
        if _NOT_THERE in error.message:
            raise _Lacking from None
        raise
    _refuse(warnings)
    return bytes(pdf)


def _refuse(warnings: list[TypstWarning]) -> None:
    """A warning is a fault of a template: a face that is not shipped, a layout that found no end."""
    if warnings:
        raise RuntimeError("; ".join(warning.message for warning in warnings))


@contextmanager
def _nowhere() -> Iterator[dict[str, Any]]:
    """An empty folder for all that a template could read: files of its own, and packages."""
    with TemporaryDirectory(prefix="steading-press-") as root:
        yield {"root": root, "package_path": root, "package_cache_path": root, "ignore_system_fonts": True}


def _inputs(data: Any) -> dict[str, str]:  # noqa: ANN401  whatever the template reads
    return {"data": json.dumps(data)}


def _lacking(data: Any) -> list[str]:  # noqa: ANN401  whatever the template reads
    """The first letters that no face at hand has; one more than are named, where there are more."""
    typed = {letter for text in letters.texts_in(data) for letter in text if not letter.isascii()}
    found: list[str] = []
    waiting = [sorted(typed)]
    while waiting and len(found) <= MOST_LETTERS:
        those = waiting.pop()
        if not those or _are_there("".join(those)):
            continue
        half = len(those) // 2
        if half:
            waiting += [those[half:], those[:half]]
        else:
            found += those
    return found


def _are_there(some: str) -> bool:
    library = faces.library()
    inputs = {"data": json.dumps(some), "faces": json.dumps(["Noto Sans"])}
    try:
        with _nowhere() as place:
            library.compile(
                _TINY,
                format="pdf",
                pdf_standards=[STANDARD],
                **place,
                font_paths=faces.with_the_machines(),
                sys_inputs=inputs,
            )
    except library.TypstError:
        return False
    return True


def _said(lacking: list[str]) -> str:
    those = ", ".join(f"{letter} (U+{ord(letter):04X}{_name(letter)})" for letter in lacking[:MOST_LETTERS])
    more = " and others" if len(lacking) > MOST_LETTERS else ""
    return (
        "These letters cannot be printed, since no face of type on this machine has them: "
        f"{those}{more}. On Debian the packages fonts-noto-core and fonts-noto-cjk bring most scripts; "
        "nothing was changed, and the page prints from the browser meanwhile."
    )


def _name(letter: str) -> str:
    name = unicodedata.name(letter, "")
    return f", {name.lower()}" if name else ""
