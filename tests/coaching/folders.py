"""Small course folders, and the files they are packed in."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path

STEP = '+++\ntitle = "{title}"\n{keys}+++\n# {title}\n{text}\n'
STEADY = '+++\nwhen = "steady"\n+++\n# Our own steady day\nText of our own.\n'
CAUTIONS = '[acid]\ntitle = "Acid"\ntext = "Keep it away."\nsource = "common practice, no source"\n'


def written(folder: Path, files: dict[str, str]) -> Path:
    """A folder with these files."""
    for name, text in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    return folder


def hall(**more: str) -> dict[str, str]:
    """A course of two steps, its own texts and caution; more files take the place of these."""
    files = {
        "course.toml": 'title = "The hall"\nlicence = "CC BY 4.0"\n',
        "01-shoes.md": STEP.format(title="Shoes", keys="", text="In a row."),
        "02-coats.md": STEP.format(
            title="Coats", keys='after = ["shoes"]\ncaution = "acid"\n', text="On hooks."
        ),
        "steady/01-ours.md": STEADY,
        "cautions.toml": CAUTIONS,
    }
    return {**files, **more}
