"""`/stop/…`: the link that ends somebody's messages, without signing in.

Programs that look at links before a person does follow them with GET, so that changes nothing. The button
of a mail program sends a POST with a body that RFC 8058 §3.1 prescribes and that says nothing more.
"""

from http import HTTPStatus
from typing import Annotated

from fastapi import APIRouter, Form, Request, Response

from coach.errors import Malformed
from coach.messages import stopping
from coach.web.deps import ContextDep
from coach.web.rendering import page

router = APIRouter(prefix="/stop")


def _page(request: Request, token: str, step: str, sealed: str = "", status: int = HTTPStatus.OK) -> Response:
    values = {"token": token, "step": step, "sealed": sealed, "navigation": False}
    return page(request, "messages/stop.html", values, status)


@router.get("/{token}")
def ask(request: Request, context: ContextDep, token: str) -> Response:
    """One button."""
    stopping.checked(context, token)
    return _page(request, token, "ask")


@router.post("/{token}")
def stop(request: Request, context: ContextDep, token: str) -> Response:
    """They end, whatever the body says; a second time is as good as the first."""
    return _page(request, token, "ended", stopping.stop(context, token))


@router.post("/{token}/back")
def take_back(
    request: Request, context: ContextDep, token: str, sealed: Annotated[str, Form(max_length=8192)] = ""
) -> Response:
    """They go on as before."""
    try:
        stopping.take_back(context, token, sealed)
    except Malformed:
        return _page(request, token, "late", status=HTTPStatus.CONFLICT)
    return _page(request, token, "back")
