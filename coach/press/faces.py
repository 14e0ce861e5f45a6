"""The faces of type: those that come with Steading first, the machine's own where a text needs them."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from coach.errors import NotReady

if TYPE_CHECKING:
    from types import ModuleType

    from typst import Fonts

FOLDER = Path(__file__).parent / "fonts"
INSTALL = "pip install 'coach[pdf]'"
"""What brings the library that sets pages."""


@cache
def library() -> ModuleType:
    """The library that sets pages, loaded with the first one.

    Raises:
        NotReady: It is not installed.
    """
    try:
        import typst  # noqa: PLC0415  an extra, and who prints nothing need not load it
    except ImportError:
        raise NotReady(
            f"PDF needs a library that is not installed. Install it with {INSTALL}, and start Steading "
            "again; until then the page prints from the browser."
        ) from None
    return typst


@cache
def own() -> Fonts:
    """The faces that come with Steading, and no others: the same on every machine."""
    fonts: Fonts = library().Fonts(
        include_system_fonts=False, include_embedded_fonts=False, font_paths=[FOLDER]
    )
    return fonts


@cache
def with_the_machines() -> Fonts:
    """Those, and whatever the machine has for letters that they lack."""
    fonts: Fonts = library().Fonts(
        include_system_fonts=True, include_embedded_fonts=False, font_paths=[FOLDER]
    )
    return fonts


@cache
def none() -> Fonts:
    """No faces at all, for pages without a word."""
    fonts: Fonts = library().Fonts(include_system_fonts=False, include_embedded_fonts=False)
    return fonts
