"""Forms whose fields no fixed list can name, such as those of a week's dates."""

from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import Depends, Request
from starlette.datastructures import FormData


async def _sent(request: Request) -> AsyncIterator[FormData]:
    async with request.form() as form:
        yield form


Sent = Annotated[FormData, Depends(_sent)]


def text_in(form: FormData, name: str) -> str:
    """A field's text; empty if it was not sent, or was a file."""
    value = form.get(name)
    return value if isinstance(value, str) else ""
