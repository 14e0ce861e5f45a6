"""What today's page says beside its list, in words for people."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from coach.course.direction import isolated
from coach.ground.wording import long_date, minutes_words, near_day
from coach.habits.wording import joined

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence
    from datetime import date

    from coach.habits.notes import NamedStep, WaitingLine
    from coach.progress.arrival import Because
    from coach.progress.standing import Standing

WEEK = timedelta(days=7)
SLOTS = {"morning": "in the morning", "anytime": "during the day", "evening": "in the evening"}


def _title(standing: Standing, step: str | None) -> str:
    return isolated(standing.steps[step].step.title) if step else ""


def _sentence(clause: str) -> str:
    return f"{clause[:1].upper()}{clause[1:]}."


def arrival_text(standing: Standing, step: str, because: Sequence[Because]) -> str:
    """Why a step came, in a sentence or two."""
    asked = any(one.kind == "next" for one in because)
    nearest = [one for one in because if one.kind != "next"]
    why = SENTENCES[nearest[0].kind](standing, step, nearest) if nearest else ""
    wish = f"You asked for {_title(standing, step)} to come next." if asked else ""
    return f"{wish} {why}".strip()


def _start(standing: Standing, step: str, _: Sequence[Because]) -> str:
    return f"{_title(standing, step)} is the step you begin with."


def _gate(standing: Standing, _: str, because: Sequence[Because]) -> str:
    return f"{_cleared(standing, because)}: the gate is open."


def _cleared(standing: Standing, because: Sequence[Because]) -> str:
    """Who has cleared the way: `Make the bed has held, 3 of 4`, `Make the bed and Post have both held`."""
    held = [one for one in because if _has_held(standing, one)]
    aside = [_title(standing, one.step) for one in because if one not in held]
    parts = [_holding(standing, held)] if held else []
    parts += [f"{joined(aside, 'and')} {'is' if len(aside) == 1 else 'are'} set aside"] if aside else []
    return ", and ".join(parts)


def _has_held(standing: Standing, one: Because) -> bool:
    return one.kind != "aside" and one.step is not None and standing.steps[one.step].settled_on is not None


def _holding(standing: Standing, held: Sequence[Because]) -> str:
    titles = [_title(standing, one.step) for one in held]
    if len(held) > 1:
        return f"{joined(titles, 'and')} have {'both' if len(held) == len('ab') else 'all'} held"
    kept, of = held[0].kept, held[0].of
    return f"{titles[0]} has held" + ("" if kept is None else f", {kept} of {of}")


def _added(standing: Standing, step: str, _: Sequence[Because]) -> str:
    return f"You chose {_title(standing, step)}, and nothing holds it back."


def _minutes(_: Standing, __: str, because: Sequence[Because]) -> str:
    of = because[0].of
    if of is None:
        return "No limit on the minutes a day holds it back any more."
    return f"There is room for it within the {minutes_words(of)} a day you chose."


def _hold(_: Standing, __: str, because: Sequence[Because]) -> str:
    return f"Lately {because[0].kept} of {because[0].of} lines were kept, so there is room for the next step."


def _turn(standing: Standing, step: str, _: Sequence[Because]) -> str:
    return f"Now it is the turn of {_title(standing, step)}; at most one step comes on a day."


def _free(standing: Standing, step: str, _: Sequence[Because]) -> str:
    return f"Nothing holds {_title(standing, step)} back any more."


SENTENCES: dict[str, Callable[[Standing, str, Sequence[Because]], str]] = {
    "start": _start,
    "after": _gate,
    "aside": _gate,
    "room": _gate,
    "added": _added,
    "minutes": _minutes,
    "hold": _hold,
    "turn": _turn,
    "free": _free,
}


def settled_text(title: str, kept: int | None, of: int | None, *, said: bool, holds: bool) -> str:
    """That a step has settled.

    Args:
        title: What it is called.
        kept: Outcomes kept among the latest `of`, if that is known.
        of: Outcomes its rule looked at.
        said: Whether the numbers stand beside it already, as why another step came.
        holds: Whether it held something back.
    """
    name = isolated(title)
    if said:
        return f"{name} is settled and stays on the list."
    numbers = "" if kept is None else f": kept {kept} of {of}"
    onwards = (
        "It stays on the list and no longer holds the next step back." if holds else "It stays on the list."
    )
    return f"{name} has settled{numbers}. {onwards}"


def place_text(word: str, title: str) -> str:
    """Where a new place of the bar came from."""
    return f"{word} is new in the bar: it came with “{isolated(title)}”."


def empty_text(day: date, today: date, *, several: bool) -> str:
    """A kind word after an empty day, or several; how many they are is not counted."""
    if several:
        return "The last days are empty, and that is all right. Today counts as it is."
    said = near_day(day, today) or long_date(day)
    return f"{_sentence(f'{said} is empty, and that is all right')} Today counts as it is."


def few_text(
    today: date, stay: Iterable[NamedStep], excused: Sequence[NamedStep], wait: Sequence[WaitingLine]
) -> str:
    """What taking only a few does: what stays, what is left out, and what can wait."""
    kept = [isolated(one.title) for one in stay]
    stays = f"{joined(kept, 'and')} {'stays' if len(kept) == 1 else 'stay'}. " if kept else ""
    count = len(excused)
    others = "One other is excused" if count == 1 else f"{count} others are excused"
    return f"{stays}{others} for today, which counts neither way.{_waits(today, wait)}"


def _waits(today: date, wait: Sequence[WaitingLine]) -> str:
    """What can wait, and until when, as `The dry round can wait until Tuesday and Papers until Monday`."""
    if not wait:
        return ""
    first, *others = [
        (isolated(one.title), f" until {_until(one.until, today)}" if one.until else "") for one in wait
    ]
    said = [f"{first[0]} can wait{first[1]}", *(f"{title}{until}" for title, until in others)]
    return f" {joined(said, 'and')}."


def _until(day: date, today: date) -> str:
    """A day one waits until: its weekday alone if it is near."""
    return near_day(day, today) or (f"{day:%A}" if day - today < WEEK else long_date(day))


def taken_text(excused: Sequence[NamedStep]) -> str:
    """That only a few are left for today."""
    count = len(excused)
    return f"Only a few today. {'One line is' if count == 1 else f'{count} lines are'} excused."


def stuck_text(kept: int, of: int, *, lately: bool) -> str:
    """How a step went that could do with help."""
    return f"Kept {kept} of {'the last ' if lately else ''}{of}. That says more about the fit than about you."


def ideas_text(slot: str) -> str:
    """What goes before the steps that would fit."""
    return (
        "The course has brought all its steps, and the list can stay as it is. "
        f"If you would like more, there is most room {SLOTS[slot]}:"
    )
