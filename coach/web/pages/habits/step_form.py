"""The form that makes a step fit: as it is sent, as the step stands, and as its fields are joined."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from pydantic import Field

from coach.course.keys import is_blank
from coach.course.recurrence import in_words
from coach.course.rule import WEEKDAYS
from coach.errors import Malformed
from coach.habits.notes import SlotName  # noqa: TC001  Pydantic reads it at run time
from coach.habits.path import step_in
from coach.habits.wording import SLOT_WORDS
from coach.web.pages.seen import Clash, Fields, SeenForm, Shown, Values, seen_text

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Mapping

    from coach.ground.situation import Situation
    from coach.habits.path_answers import StepView

DAILY, WEEKLY = "FREQ=DAILY", "FREQ=WEEKLY;BYDAY="
_TYPED = ("title", "cue", "small", "minutes", "slot")
LABELS = {
    "title": "Name",
    "cue": "The moment it hangs on",
    "small": "Small version",
    "minutes": "Minutes",
    "slot": "Part of the day",
    "rhythm": "How often",
}


class Changes(SeenForm):
    """The form of the step's page; what is left out stays as it is.

    Attributes:
        whole: Whether all fields were there to fill in, so that an empty one is meant to be empty.
        repeat: `daily`, `weekly` on `weekdays`, or `as-is` for a rule the form cannot show.
        rule: That rule.
    """

    title: str | None = None
    cue: str | None = None
    small: str | None = None
    slot: SlotName | None = None
    minutes: int | None = None
    repeat: str = "as-is"
    weekdays: list[str] = Field(default_factory=list)
    rule: str = ""
    back: str = "step"
    whole: bool = False


def rule(repeat: str, weekdays: Collection[str]) -> str | None:
    """The RFC 5545 rule the form means, its weekdays in the week's order; none: as it is.

    Raises:
        Malformed: It is weekly on no day.
    """
    if repeat == "daily":
        return DAILY
    if repeat != "weekly":
        return None
    if not weekdays:
        raise Malformed("Choose at least one weekday, or every day.")
    known = [day for day in WEEKDAYS if day in weekdays]
    return WEEKLY + ",".join([*known, *(day for day in weekdays if day not in WEEKDAYS)])


def values_of(step: StepView) -> Values:
    """A step's fields as they stand."""
    return {
        "title": step.title,
        "cue": step.cue or "",
        "small": step.small or "",
        "minutes": str(step.minutes),
        "slot": step.slot,
        "rhythm": _rhythm(step),
    }


def _rhythm(step: StepView) -> str:
    """The rule as the form would write it."""
    if step.weekdays is None:
        return step.repeats
    return rule("weekly" if step.weekdays else "daily", step.weekdays) or DAILY


def values_in(form: Changes) -> Values:
    """The fields of a form that was sent, as far as it has them.

    Raises:
        Malformed: It is weekly on no day.
    """
    sent = {name: getattr(form, name) for name in _TYPED}
    found = {name: str(value).strip() for name, value in sent.items() if value is not None}
    if form.whole:
        found = {"cue": "", "small": ""} | found
    rhythm = rule(form.repeat, form.weekdays) or form.rule
    return found | ({"rhythm": rhythm} if rhythm else {})


def changes_of(values: Mapping[str, str]) -> dict[str, Any]:
    """Joined fields as the keys of `adjust`; an emptied text is none."""
    asked: dict[str, Any] = {name: text for name, text in values.items() if name != "rhythm"}
    for name in ("cue", "small"):
        if name in asked:
            asked[name] = None if is_blank(asked[name]) else asked[name]
    if "minutes" in asked:
        asked["minutes"] = int(asked["minutes"])
    if "rhythm" in values:
        asked["repeats"] = values["rhythm"]
    return asked


def fields_for(step: str, names: Collection[str]) -> Fields:
    """The fields of a step that a form has."""

    def as_they_are(where: Situation) -> Values:
        found = values_of(step_in(where, step))
        return {name: text for name, text in found.items() if name in names}

    return Fields(as_they_are, LABELS.__getitem__, _words)


def _words(name: str, text: str) -> str:
    if name == "slot":
        return SLOT_WORDS.get(text, text)
    return in_words(text) if name == "rhythm" else text


def filled(values: Mapping[str, str]) -> Changes:
    """The whole form with these fields in it."""
    rhythm = values["rhythm"]
    days = rhythm.removeprefix(WEEKLY).split(",") if rhythm.startswith(WEEKLY) else []
    is_plain = bool(days) and set(days) <= set(WEEKDAYS)
    repeat = "daily" if rhythm == DAILY else "weekly" if is_plain else "as-is"
    plain = {name: values[name] for name in _TYPED}
    days = days if is_plain else []
    rule_as_is = rhythm if repeat == "as-is" else ""
    return Changes.model_validate(plain | {"repeat": repeat, "weekdays": days, "rule": rule_as_is})


def shown(step: StepView) -> Shown[Changes]:
    """A step's form as it stands."""
    values = values_of(step)
    return Shown(filled(values), seen_text(values))


@dataclass(frozen=True, slots=True)
class Filling:
    """How a page fills the form in, and with which status it answers.

    Attributes:
        fill: Given the step as it stands, the form.
    """

    fill: Callable[[StepView], Shown[Changes]] = shown
    status: int = 200


def shown_again(clash: Clash) -> Filling:
    """The form as it would be saved, with what both changed; fields it did not have are as they stand."""

    def fill(step: StepView) -> Shown[Changes]:
        values = values_of(step)
        return Shown(filled(values | clash.merged), seen_text(values | clash.now), clash.both)

    return Filling(fill, 409)


def as_typed(form: Changes, trouble: str) -> Filling:
    """The form as it was typed, with what speaks against it."""

    def fill(step: StepView) -> Shown[Changes]:
        values = values_of(step)
        was = filled(values)
        left_out = {name: getattr(was, name) for name in _TYPED if name not in form.model_fields_set}
        # Of a name that stands there twice the latter counts.
        seen = form.seen if form.whole else f"{seen_text(values)} {form.seen}"
        return Shown(form.model_copy(update=left_out), seen, trouble=trouble)

    return Filling(fill, 422)
