"""The engine's reasons and the graph's waits in words for people."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from coach.course.direction import isolated

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

    from coach.habits.answers import ChecklistLine, Clash
    from coach.progress.standing import Standing, StepStanding
    from coach.progress.unlocking import Reason

SLOT_WORDS = {"morning": "Morning", "anytime": "Anytime", "evening": "Evening"}
"""What the parts of a day are called."""


def _title(standing: Standing, reason: Reason) -> str:
    return isolated(standing.steps[reason.step].step.title) if reason.step else ""


def _settles(standing: Standing, reason: Reason) -> str:
    title = _title(standing, reason)
    daily = reason.step is not None and standing.steps[reason.step].step.repeats == "FREQ=DAILY"
    unit = "day" if daily else "time"
    if not reason.seen:
        return f"{title} has just come; kept {reason.needs} of {reason.of} {unit}s, it brings the next step."
    rule = f"{reason.needs} of {reason.of} bring the next step"
    if reason.seen == 1:
        return f"{title} has held {reason.kept} of 1 {unit} so far; {rule}."
    return f"{title} has held {reason.kept} of the last {reason.seen} {unit}s; {rule}."


def _hold(_: Standing, reason: Reason) -> str:
    return (
        f"Lately {reason.kept} of {reason.of} lines were kept; from {reason.needs} of {reason.of} on "
        "there is room for the next step. Until then nothing is added."
    )


def _minutes(standing: Standing, reason: Reason) -> str:
    return (
        f"{_title(standing, reason)} takes {reason.needs} minutes; with the {reason.kept} on your list that "
        f"is more than the {reason.of} minutes a day you chose."
    )


def _after(standing: Standing, reason: Reason) -> str:
    step = standing.steps[reason.step] if reason.step else None
    return f"{_title(standing, reason)} waits. {needs(standing, step)}" if step else ""


def _tomorrow(standing: Standing, reason: Reason) -> str:
    return f"{_title(standing, reason)} can come tomorrow; at most one step comes on a day."


def _returning(*_: object) -> str:
    return "This is the day of the return; nothing new comes today."


def _resting(standing: Standing, reason: Reason) -> str:
    return f"First the list grows back: {_title(standing, reason)} returns after a day that went mostly well."


def _paused(*_: object) -> str:
    return "You are away; nothing is due and nothing new comes."


def _lapsed(*_: object) -> str:
    return "The list waits for you, made smaller. Any mark, or a choice above, takes it up again."


def _complete(*_: object) -> str:
    return "Every step of the course has come."


SENTENCES: dict[str, Callable[[Standing, Reason], str]] = {
    "settles": _settles,
    "hold": _hold,
    "minutes": _minutes,
    "after": _after,
    "tomorrow": _tomorrow,
    "returning": _returning,
    "resting": _resting,
    "paused": _paused,
    "lapsed": _lapsed,
    "complete": _complete,
}


def reason_text(standing: Standing, reason: Reason) -> str:
    """A reason as one or two sentences."""
    return SENTENCES[reason.kind](standing, reason)


def joined(titles: Iterable[str], word: str) -> str:
    """Titles as a list in a sentence: `a, b and c`."""
    *first, last = titles
    return f"{', '.join(first)} {word} {last}" if first else last


def needs(standing: Standing, step: StepStanding) -> str:
    """What a step that has not come still waits for; empty if nothing."""
    if step.introduced_on is not None or step.unlocked:
        return ""
    every = [title for name in step.step.after if (title := _open_title(standing, name))]
    some = [_name(standing, name) for name in step.step.after_any]
    none_yet = bool(some) and all(_open_title(standing, name) for name in step.step.after_any)
    parts = [joined(every, "and")] if every else []
    parts += [joined(some, "or")] if none_yet else []
    return f"Comes after {', and after '.join(parts)}." if parts else ""


def _name(standing: Standing, step_id: str) -> str:
    other = standing.steps.get(step_id)
    return isolated(other.step.title) if other else step_id


def _open_title(standing: Standing, step_id: str) -> str | None:
    """The title of a step that is neither settled nor set aside yet."""
    other = standing.steps.get(step_id)
    if other is None or other.set_aside or other.settled_on is not None:
        return None
    return isolated(other.step.title)


_COUNTED = ("kept", "excused", "missed")


def marks_text(lines: Sequence[ChecklistLine]) -> str:
    """How many lines have which mark: `3 kept, 1 excused`; a small version counts as kept. Empty for none."""
    found = Counter[str | None]("kept" if line.mark == "small" else line.mark for line in lines)
    return ", ".join(f"{found[mark]} {mark}" for mark in _COUNTED if found[mark])


_STANDING = {"kept": "kept", "small": "kept, in its small version", "missed": "missed", "excused": "excused"}


def clash_text(clash: Clash) -> str:
    """Who marked a line, how and when, as in `Ana marked it kept at 19:38`."""
    return f"{_who_did(clash, 'it')} at {clash.at:%H:%M}."


def newer_text(clash: Clash, title: str) -> str:
    """Why a mark was not written."""
    done = _who_did(clash, isolated(title))
    return f"{done} at {clash.at:%H:%M}, which your mark had not seen. Nothing was written."


def _who_did(clash: Clash, what: str) -> str:
    who = isolated(clash.name) if clash.name else "Somebody in the household"
    if clash.mark is None:
        return f"{who} took the mark of {what} back"
    return f"{who} marked {what} {_STANDING[clash.mark]}"


def taken_text(name: str, before: str) -> str:
    """Who takes a line now, and who did before, where that is another one: `taken by Ben; Ana had it`."""
    now = f"taken by {isolated(name)}" if name else "nobody takes it now"
    return f"{now}; {isolated(before)} had it" if before and before != name else now
