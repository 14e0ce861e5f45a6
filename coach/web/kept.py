"""Pages kept as they were rendered, for as long as nothing they show has changed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fastapi.responses import HTMLResponse

from coach.web.rendering import page

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Mapping

    from fastapi import Request

    from coach.services.ports import Context


def kept_page(
    request: Request,
    context: Context,
    key: tuple[Hashable, ...],
    stamp: Hashable,
    render: Callable[[], tuple[str, Mapping[str, object]]],
) -> HTMLResponse:
    """A page out of memory, or rendered now and then kept.

    Args:
        request: What is answered.
        context: Whose memory is used.
        key: Names the page and the household.
        stamp: What the page depends on, its bar of places included; another one, and it is rendered anew.
        render: Gives the template and its values.
    """

    def rendered() -> bytes:
        name, values = render()
        return bytes(page(request, name, values).body)

    return HTMLResponse(context.memo.get(("page", *key), stamp, rendered))
