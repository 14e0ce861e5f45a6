"""Forms that add something: a second tap, or a second sending, adds nothing."""

import json
import secrets
from collections.abc import AsyncIterator
from dataclasses import replace
from hashlib import sha256
from typing import Annotated

from fastapi import Depends, Request
from starlette.datastructures import FormData

from coach.ground.ports import Context
from coach.web.deps import ContextDep

FIELD = "request_id"
"""The hidden field's name; `parts/bits.html` writes it."""


def new_request_id() -> str:
    """The name of a form that is about to be shown."""
    return secrets.token_urlsafe(12)


async def _once(request: Request, context: ContextDep) -> AsyncIterator[Context]:
    """The context in which what this form asks for is written once.

    A page may be kept and shown to two people with one name in its form, so what was typed belongs to the
    name: the same words from the same page are the same request, other words are another one.
    """
    # Whatever else was sent, such as a file that nobody asked for, is let go of at the end.
    async with request.form() as form:
        yield _named(context, request.url.path, form)


def _named(context: Context, path: str, form: FormData) -> Context:
    name = form.get(FIELD)
    if not isinstance(name, str) or not name:
        return context
    sent = [(key, value) for key, value in form.multi_items() if isinstance(value, str)]
    asked = json.dumps([path, sorted(sent)])
    return replace(context, request_id=f"form-{sha256(asked.encode()).hexdigest()}")


OnceDep = Annotated[Context, Depends(_once)]
"""What use cases work with, for a form that carries `bits.once()`; they raise Repeated the second time."""
