"""Ids made from what people wrote: small letters, digits and hyphens."""

from __future__ import annotations

import re
import unicodedata
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Container

_OTHERS = re.compile(r"[^a-z0-9]+")


def slug(text: str) -> str:
    """What a text says in plain letters, as `grans-cafe` for “Gran's café”; empty if nothing can stay.

    Letters lose their marks (Unicode's compatibility decomposition), and an apostrophe parts no words.
    """
    plain = unicodedata.normalize("NFKD", text.casefold()).encode("ascii", "ignore").decode()
    return _OTHERS.sub("-", plain.replace("'", "")).strip("-")


def free_slug(text: str, taken: Container[str], otherwise: str, longest: int = 60) -> str:
    """A slug that nothing has, with a number behind it if one has.

    Args:
        text: A title or a name.
        taken: The ids there are.
        otherwise: What stands for a text of which nothing can stay.
        longest: The most characters, before the number.
    """
    stem = slug(text)[:longest].rstrip("-") or otherwise
    number, found = 1, stem
    while found in taken:
        number += 1
        found = f"{stem}-{number}"
    return found
