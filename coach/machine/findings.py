"""What a check of the machine says: that something is well, or what is wrong and what to do."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Told:
    """One line of a check.

    Attributes:
        about: What was looked at, in a word or two.
        text: What was found, in a sentence.
        mend: What to do; empty where nothing is wrong.
    """

    about: str
    text: str
    mend: str = ""

    @property
    def is_wrong(self) -> bool:
        """Whether there is something to do."""
        return bool(self.mend)


def told_error(about: str, error: Exception) -> Told:
    """An error of ours, whose last sentences say what to do."""
    said = str(error)
    text, end, mend = said.partition(". ")
    return Told(about, text + ("." if end else ""), mend or "Mend that, and look again.")
