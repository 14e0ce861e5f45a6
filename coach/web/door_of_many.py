"""The door where many households are hosted: nobody is let in without a session, wherever they ask from."""

from __future__ import annotations

from dataclasses import replace
from http import HTTPStatus
from typing import TYPE_CHECKING

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.requests import Request
from starlette.responses import RedirectResponse

from coach.errors import StoreError
from coach.ground.people import Caller
from coach.household.devices import let_in
from coach.household.homes import role_in
from coach.web import problems
from coach.web.access import FILES, is_closed_to_many, is_of_groups, is_of_nobodys_home, is_open
from coach.web.callers import put_caller
from coach.web.door import WHOSE, address_of, beyond, no_change
from coach.web.events import watched
from coach.web.sessions import proof

if TYPE_CHECKING:
    from starlette.responses import Response
    from starlette.types import ASGIApp, Receive, Scope, Send

GROUPS = "/groups"
"""Where a coach without a household goes who asks for a page of one."""

INVITATIONS = "/api/invitations"
"""Where members are invited by a keeper, and households by a coach."""

NO_SUCH = "There is no such household, or it is not yours."
NO_HOME = "You belong to no household here."


class DoorOfMany:
    """ASGI middleware that finds out who asks, and about which household, and turns away whoever may not.

    Args:
        app: What is behind it.
    """

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on with who asks, or answer why they are not let in."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        headers = Headers(scope=scope)
        try:
            caller = await _caller(scope, headers)
        except StoreError as error:
            put_caller(scope, Caller("", address=address_of(scope)))
            await problems.of_store(Request(scope), error)(scope, receive, send)
            return
        put_caller(scope, caller)
        refusal = _refusal(scope, headers, caller)
        if refusal is None:
            await self.app(scope, receive, watched(scope, send))
            return
        await _answer(scope, caller, refusal)(scope, receive, send)


async def _caller(scope: Scope, headers: Headers) -> Caller:
    """Who asks, about the household that is chosen or named; without a role where it is not theirs."""
    address = address_of(scope)
    shown = None if scope["path"].startswith(FILES) else proof(scope, headers)
    if shown is None:
        return Caller("", address=address)
    context = scope["app"].state.context
    caller = await run_in_threadpool(let_in, context, shown.secret, address, shown.kind)
    if not caller.is_let_in:
        return replace(caller, household="")
    named = _named(headers)
    if named is None or named == caller.household:
        return caller
    role = await run_in_threadpool(role_in, context, named, caller.person)
    return replace(caller, household=named if role else "", role=role, over="" if role else NO_SUCH)


def _named(headers: Headers) -> str | None:
    """The household that a request names; None: none, so that the chosen one is meant."""
    named = {value for value in headers.getlist(WHOSE) if value}
    # Two that differ are nobody's.
    return None if not named else named.pop() if len(named) == 1 else " "


def _refusal(scope: Scope, headers: Headers, caller: Caller) -> problems.Problem | None:
    path = scope["path"]
    if is_closed_to_many(path) and (is_open(path) or caller.session is not None):
        return problems.problem("unknown")
    if is_open(path):
        return None
    if caller.session is None:
        return problems.problem("unpaired", caller.over or None)
    return _not_theirs(path, caller) or no_change(scope, headers, caller) or _beyond(scope, caller)


def _not_theirs(path: str, caller: Caller) -> problems.Problem | None:
    """Why an address is not there for somebody who is let in: it is another household's, or for coaches."""
    if caller.over:
        return problems.problem("unknown", NO_SUCH)
    if is_of_groups(path):
        return None if caller.coaches else problems.problem("unknown")
    if caller.role is None and not is_of_nobodys_home(path):
        return problems.problem("unknown", NO_HOME)
    return None


def _beyond(scope: Scope, caller: Caller) -> problems.Problem | None:
    """What only a keeper does, asked for by somebody else; but a coach invites households."""
    if caller.coaches and (scope["method"], scope["path"]) == ("POST", INVITATIONS):
        return None
    return beyond(scope, caller)


def _answer(scope: Scope, caller: Caller, refusal: problems.Problem) -> Response:
    """What is refused; a coach without a household is led from a page of one to the groups."""
    request = Request(scope)
    leads = refusal.detail == NO_HOME and scope["method"] == "GET" and not problems.is_for_program(request)
    if leads and caller.coaches:
        return RedirectResponse(GROUPS, HTTPStatus.SEE_OTHER)
    more = {"WWW-Authenticate": "Bearer"} if refusal.status == HTTPStatus.UNAUTHORIZED else None
    return problems.answer(request, refusal, more)
