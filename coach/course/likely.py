"""The name a person probably meant: by a word of the same meaning, or by its letters."""

from __future__ import annotations

from difflib import get_close_matches
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

# Words of the same meaning, for each key that files know.
_WORDS: Mapping[str, str] = {
    "after": "after_all after_every all_of depends depends_on needs prerequisite prerequisites requires",
    "after_any": "after_either after_one any_of depends_on_any either one_of",
    "at_once": "at_a_time in_parallel parallel together",
    "caution": "cautions danger hazard warning",
    "cue": "moment prompt when",
    "declutter": "clear sort sort_out",
    "detail": "details jobs tasks",
    "every_days": "every interval",
    "formerly": "aliases former_ids formerly_called old_id old_ids renamed_from was",
    "lapse_after": "away_after lapse lapses_after",
    "licence": "copyright license rights terms",
    "lines": "checklist items parts tasks",
    "minutes": "duration length mins minute takes time",
    "paces": "pace speed speeds",
    "ramp_days": "days duration length ramp",
    "repeats": "every frequency recurrence rrule rule schedule",
    "settles": "settle settled settles_at",
    "slot": "daypart part_of_day time_of_day",
    "small": "least minimum minimal short smaller tiny",
    "source": "authority sources",
    "stop_after": "end_after ends_after max_minutes stop",
    "summary": "about description",
    "text": "body description warning",
    "title": "heading label name",
    "waits": "wait waiting",
    "when": "day occasion on",
    "why": "about because description reason summary",
    "works_in": "opens page part plan room works",
    "words": "aliases names synonyms",
}
_MEANT = tuple((word, key) for key, words in _WORDS.items() for word in words.split())


def meant(name: str, known: Iterable[str]) -> str:
    """The end of a sentence about an unknown name: the known one that looks most like it, if any does."""
    alike = get_close_matches(name, list(known), n=1)
    return _question(alike[0]) if alike else ""


def meant_key(name: str, known: Iterable[str]) -> str:
    """The end of a sentence about an unknown key: the known one of its meaning, or else of like letters."""
    keys, said = list(known), name.casefold().replace("-", "_")
    if said in keys:
        return _question(said)
    return next((_question(key) for word, key in _MEANT if word == said and key in keys), meant(name, keys))


def _question(name: str) -> str:
    return f"; did you mean “{name}”?"
