"""A link as a picture that a phone's camera reads (QR code, ISO/IEC 18004): for a terminal and for a page."""

from __future__ import annotations

from html import escape
from itertools import zip_longest
from typing import TYPE_CHECKING

from coach.errors import Malformed

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    import segno

LONGEST_LINK = 300
"""Letters of a link, so that its code stays coarse enough for a camera across a room."""

MARGIN = 4
"""The quiet zone around the code in modules, as the standard asks."""

_INK_ON_PAPER = "\x1b[38;5;16;48;5;231m"
_AS_BEFORE = "\x1b[0m"
_HALVES = {(False, False): " ", (True, False): "▀", (False, True): "▄", (True, True): "█"}


def terminal_picture(link: str) -> str:
    """The code as lines of text, two rows of modules to a line, each ended by a newline.

    It sets its own black and white, out of the fixed part of 256 colours, so that it reads on any background.
    Terminals without colours, and files, show it in their own, which cameras mostly read as well.

    Raises:
        Malformed: The link is too long.
    """
    rows = _rows(_code(link))
    pairs = zip_longest(rows[::2], rows[1::2], fillvalue=bytes(len(rows[0])))
    return "".join(f"{_INK_ON_PAPER}{_line(upper, lower)}{_AS_BEFORE}\n" for upper, lower in pairs)


def _line(upper: Sequence[int], lower: Sequence[int]) -> str:
    return "".join(_HALVES[bool(above), bool(below)] for above, below in zip(upper, lower, strict=True))


def page_picture(link: str, title: str) -> bytes:
    """The code as one SVG element, to be put into a page as it is.

    Dark stands on light in any colour scheme, since that is what cameras look for. It has no size of its own,
    no style and no script; `.code-picture` is the whole, `.code-paper` the light, `.code-ink` the dark.

    Args:
        link: What the code holds.
        title: What the picture is, for whoever does not see it.

    Raises:
        Malformed: The link is too long.
    """
    rows = _rows(_code(link))
    side = len(rows)
    drawn = "".join(_strokes(rows))
    return (
        f'<svg class="code-picture" viewBox="0 0 {side} {side}" role="img">'
        f"<title>{escape(title, quote=False)}</title>"
        f'<path class="code-paper" fill="#fff" d="M0 0h{side}v{side}H0z"/>'
        f'<path class="code-ink" fill="#000" shape-rendering="crispEdges" d="{drawn}"/></svg>'
    ).encode()


def _strokes(rows: Sequence[Sequence[int]]) -> Iterator[str]:
    """Each run of dark modules as a bar."""
    for y, row in enumerate(rows):
        x = 0
        while x < len(row):
            end = next((at for at in range(x, len(row)) if not row[at]), len(row))
            if end > x:
                yield f"M{x} {y}h{end - x}v1H{x}z"
            x = end + 1


def _rows(code: segno.QRCode) -> list[bytes]:
    """The code with its margin, row by row; 1 is dark."""
    return [bytes(row) for row in code.matrix_iter(border=MARGIN)]


def _code(link: str) -> segno.QRCode:
    """The smallest code that survives about 15 % of it being dirty (level M of the standard)."""
    if not 0 < len(link) <= LONGEST_LINK:
        raise Malformed(f"A link for a picture has 1 to {LONGEST_LINK} letters; this one has {len(link)}.")
    import segno  # noqa: PLC0415  loaded with the first picture, and not with every command

    return segno.make(link, error="m", micro=False)
