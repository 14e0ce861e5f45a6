"""Forms that carry what they showed, so that two people who change one thing undo nothing of each other's.

A form holds a hidden field with a short digest of each of its values as it was shown. When it comes back,
each field was changed by the one who sends it, by somebody else meanwhile, by both or by nobody, and only the
third needs a person's word.
"""

from __future__ import annotations

import re
from contextlib import suppress
from dataclasses import dataclass, field, replace
from functools import partial
from hashlib import sha256
from http import HTTPStatus
from typing import TYPE_CHECKING, Generic, TypeVar

from pydantic import BaseModel, ConfigDict

from coach.errors import NotEditable, Outdated, Unknown
from coach.ground.situation import looking

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Mapping, Sequence

    from coach.ground.ports import Context
    from coach.ground.situation import Situation

Values = dict[str, str]
"""A form's fields by name, as text; a field that is not there at all is left out."""

R = TypeVar("R")
Form = TypeVar("Form")

TRIES = 5
"""How often a form is joined with what stands there, while others keep changing that."""

UNSEEN = "Others are changing this at the moment, so nothing was saved. Try once more."
CHANGED_SINCE = (
    "Somebody has changed this since the page was opened, so it was not taken off. This is how it stands now."
)
"""Why something is not taken off: the one who asked for that may not have wanted it as it is by now."""

_ABSENT = "-"
_FIELD = re.compile(r"([^\s=]+)=([0-9a-f]{12}|-)")


class SeenForm(BaseModel):
    """What every form carries that changes something others may be changing too.

    Attributes:
        seen: What it showed; empty: it does not say, and whatever stands there is replaced.
        take: The fields for which one takes what is there now, after both were shown.
        request_id: Names the form (`once.OnceDep`).
    """

    model_config = ConfigDict(extra="forbid", frozen=True)

    seen: str = ""
    take: list[str] = []
    request_id: str = ""


CARRIED = frozenset(SeenForm.model_fields)
"""The names of the hidden fields, which are none of a person's."""


@dataclass(frozen=True, slots=True)
class Both:
    """A field that two people changed: its name, what it is called, and both texts."""

    name: str
    label: str
    now: str
    mine: str


@dataclass(frozen=True, slots=True)
class Shown(Generic[Form]):
    """A form as a page shows it: as things stand, or as it was typed and could not be saved.

    Attributes:
        form: What stands in the fields.
        seen: What the form carries.
        both: The fields that somebody else has changed, too.
        faults: What is wrong, by field.
        trouble: What is wrong as a whole.
        status: The answer's status.
    """

    form: Form
    seen: str
    both: Sequence[Both] = ()
    faults: Mapping[str, str] = field(default_factory=dict)
    trouble: str | None = None
    status: int = 200


class Clash(Exception):
    """Two people changed the same fields; nothing was written.

    Attributes:
        both: Those fields, side by side.
        now: All fields as they stand.
        merged: All fields as they would be saved, with what was typed where both changed.
    """

    def __init__(self, both: Sequence[Both], now: Values, merged: Values) -> None:
        super().__init__(", ".join(one.name for one in both))
        self.both, self.now, self.merged = both, now, merged

    def shown(self, form: Form) -> Shown[Form]:
        """A form with the merged fields in it, both texts beside those that clash."""
        return Shown(form, seen_text(self.now), self.both, status=HTTPStatus.CONFLICT)


def _as_text(_name: str, text: str) -> str:
    return text


@dataclass(frozen=True, slots=True)
class Fields:
    """The fields of a form.

    Attributes:
        as_they_are: As the form would show them now.
        label: What a field is called, by its name.
        words: What a field's text means to a person, by its name and the text.
    """

    as_they_are: Callable[[Situation], Values]
    label: Callable[[str], str]
    words: Callable[[str, str], str] = _as_text

    def both(self, names: Iterable[str], now: Values, mine: Values) -> list[Both]:
        """Fields that two people changed, side by side."""

        def said(values: Values, name: str) -> str:
            return self.words(name, values[name]) if name in values else ""

        return [Both(name, self.label(name), said(now, name), said(mine, name)) for name in names]

    def found(self, where: Situation, mine: Mapping[str, str]) -> Values:
        """The fields as they are.

        Raises:
            Unknown: What they belong to is gone; the text says what was typed, with no form left to show it.
        """
        try:
            return self.as_they_are(where)
        except Unknown as error:
            typed = {self.label(name): self.words(name, text) for name, text in mine.items() if text}
            raise with_typed(error, typed) from error


def with_typed(error: Unknown, typed: Mapping[str, str]) -> Unknown:
    """The same with what was typed, by what the fields are called, where no form is left to show it in."""
    words = ", ".join(f"{label} “{text}”" for label, text in typed.items() if text)
    return Unknown(f"{error} You typed: {words}." if words else str(error))


def seen_text(shown: Mapping[str, str]) -> str:
    """What a form carries of the values it shows."""
    return " ".join(f"{name}={_digest(text)}" for name, text in shown.items())


def _digests(values: Mapping[str, str]) -> Values:
    return {name: _digest(text) for name, text in values.items()}


def _digest(text: str | None) -> str:
    # Browsers send line breaks as CR and LF, whatever the page held (HTML §4.10.21.4).
    return _ABSENT if text is None else sha256("\n".join(text.splitlines()).encode()).hexdigest()[:12]


def joined(
    seen: str, take: Collection[str], mine: Mapping[str, str], now: Mapping[str, str]
) -> tuple[Values, tuple[str, ...]]:
    """What was sent joined with what stands there, and the names of the fields that both changed.

    Args:
        seen: What the form carried.
        take: The fields for which what stands there is wanted.
        mine: The fields as sent.
        now: The fields as they stand.
    """
    before = _shown_in(seen)
    if before is None:
        return dict(mine), ()
    merged: Values = {}
    clashing: list[str] = []
    for name in dict.fromkeys([*mine, *now]):
        was, sent, stands = before.get(name, _ABSENT), mine.get(name), now.get(name)
        is_theirs = _digest(sent) == was or (name in take and _digest(stands) == was)
        chosen = stands if is_theirs else sent
        if not is_theirs and _digest(stands) not in {was, _digest(sent)}:
            clashing.append(name)
        if chosen is not None:
            merged[name] = chosen
    return merged, tuple(clashing)


def put(
    context: Context,
    household: str,
    sent: SeenForm,
    mine: Mapping[str, str],
    fields: Fields,
    write: Callable[[Context, Values], R],
) -> R:
    """Save a form joined with what others changed meanwhile.

    Args:
        context: Store, lessons and clock.
        household: Its key.
        sent: The form, for what it carries.
        mine: Its fields as sent.
        fields: The same fields as they stand, and what they are called.
        write: Given a context that writes only while they stand so, and the joined fields, saves them.

    Raises:
        Clash: The same field was changed by both; nothing was written.
        Unknown: What is to be changed is gone; the text tells what was typed.
        NotEditable: Others kept changing it.
    """
    with suppress(Outdated):
        # Mostly nobody else was there, and then one transaction will do.
        if not sent.take:
            found = partial(fields.found, mine=mine)
            return write(_while_shown(context, _shown_in(sent.seen), found, Outdated(UNSEEN)), dict(mine))
    for _ in range(TRIES):
        with looking(context, household) as where:
            now = fields.found(where, mine)
        merged, clashing = joined(sent.seen, sent.take, mine, now)
        if clashing:
            raise Clash(fields.both(clashing, now, merged), now, merged)
        with suppress(Outdated):
            guarded = _while_shown(context, _digests(now), fields.as_they_are, Outdated(UNSEEN))
            return write(guarded, merged)
    raise NotEditable(UNSEEN)


def holding(
    context: Context, seen: str, read: Callable[[Situation], Mapping[str, str]], text: str
) -> Context:
    """The context for a tap that is meant for what its page showed, and for nothing else.

    Args:
        context: Store, lessons and clock.
        seen: What the form carried; nothing: it does not say.
        read: The same as it stands.
        text: Said with the NotEditable that refuses it.
    """
    shown = _shown_in(seen)
    return _while_shown(context, shown, read, NotEditable(text)) if shown else context


def _while_shown(
    context: Context,
    shown: Values | None,
    read: Callable[[Situation], Mapping[str, str]],
    refusal: NotEditable | Outdated,
) -> Context:
    """The context that refuses to write once what is read is not as it was shown; None: however it was."""

    def sure(where: Situation) -> None:
        now = read(where)
        if shown is not None and shown != _digests(now):
            raise refusal

    return replace(context, sure=sure)


def _shown_in(seen: str) -> Values | None:
    """The digests that a form carried; None if it does not say."""
    return dict(_FIELD.findall(seen)) or None


def names_shown(seen: str) -> list[str]:
    """The names of the fields that a form has shown, in their order; a box that is not ticked is not sent."""
    return list(_shown_in(seen) or {})


def seen_among(seen: str, names: Collection[str]) -> str:
    """What a form carried, of those fields alone that it shows still."""
    return " ".join(f"{name}={digest}" for name, digest in (_shown_in(seen) or {}).items() if name in names)


def fields_of(form: BaseModel, leave_out: Iterable[str] = ()) -> Values:
    """A form's own fields as text, without what every form carries."""
    left = CARRIED | set(leave_out)
    return {name: str(value) for name, value in form.model_dump().items() if name not in left}
