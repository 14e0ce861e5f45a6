"""The door behind the guard: who asks, and whether they are let in."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers
from starlette.requests import Request

from coach.errors import StoreError
from coach.ground.people import Caller
from coach.household.devices import ENDED, let_in
from coach.machine.addresses import host_is_loopback, is_at_home, is_loopback
from coach.web import problems
from coach.web.access import FILES, is_for_keepers, is_for_many, is_open
from coach.web.callers import ALONE, HOUSEHOLD, put_caller
from coach.web.events import watched
from coach.web.hosts import host_name
from coach.web.security import SAFE_METHODS, only
from coach.web.sessions import proof

if TYPE_CHECKING:
    from starlette.types import ASGIApp, Receive, Scope, Send

FORWARDED = ("x-forwarded-", "x-original-", "x-envoy-")
"""How headers begin with which a proxy says that it asks for somebody else."""

FORWARDING = frozenset(
    {
        "forwarded",
        "via",
        "x-real-ip",
        "x-client-ip",
        "x-cluster-client-ip",
        "true-client-ip",
        "cf-connecting-ip",
        "fastly-client-ip",
    }
)
"""The others."""

WHOSE = "steading-household"
"""The header by which a program names the household it asks for."""


class Door:
    """ASGI middleware that finds out who asks and turns away who was not let in.

    Args:
        app: What is behind it.
        at_home: Whether others than this machine's own browser may come.
    """

    def __init__(self, app: ASGIApp, *, at_home: bool) -> None:
        self.app = app
        self._at_home = at_home

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Pass the request on with who asks, or answer why they are not let in."""
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        if not self._at_home:
            put_caller(scope, ALONE)
            if is_for_many(scope["path"]):
                await problems.answer(Request(scope), problems.problem("unknown"))(scope, receive, send)
                return
            await self.app(scope, receive, watched(scope, send))
            return
        headers = Headers(scope=scope)
        try:
            caller = await self._caller(scope, headers)
        except StoreError as error:
            # Who cannot be looked up is nobody. What is wrong is said as behind the door.
            put_caller(scope, Caller(HOUSEHOLD, address=address_of(scope)))
            await problems.of_store(Request(scope), error)(scope, receive, send)
            return
        put_caller(scope, caller)
        refusal = _refusal(scope, headers, caller)
        if refusal is None:
            await self.app(scope, receive, watched(scope, send))
            return
        more = {"WWW-Authenticate": "Bearer"} if refusal.status == HTTPStatus.UNAUTHORIZED else None
        await problems.answer(Request(scope), refusal, more)(scope, receive, send)

    async def _caller(self, scope: Scope, headers: Headers) -> Caller:
        address = address_of(scope)
        # A stylesheet is everybody's, and asking the database for each would cost more than it does.
        shown = None if scope["path"].startswith(FILES) else proof(scope, headers)
        if shown is not None:
            context = scope["app"].state.context
            found = await run_in_threadpool(let_in, context, shown.secret, address, shown.kind)
            # At home there is one household; what lets somebody into another one is of no use here.
            return found if found.household == HOUSEHOLD else Caller(HOUSEHOLD, address=address, over=ENDED)
        if is_the_machine_itself(scope, headers):
            return ALONE
        return Caller(HOUSEHOLD, address=address)


def is_the_machine_itself(scope: Scope, headers: Headers) -> bool:
    """Whether a request comes from this machine, under a name that only this machine has, for nobody else."""
    if any(name in FORWARDING or name.startswith(FORWARDED) for name in headers):
        return False
    return is_loopback(address_of(scope)) and host_is_loopback(host_name(only(headers, "host")))


def _refusal(scope: Scope, headers: Headers, caller: Caller) -> problems.Problem | None:
    if not is_at_home(address_of(scope)):
        return problems.problem("unpaired", "Steading answers to the home network alone.")
    if is_for_many(scope["path"]):
        return problems.problem("unknown")
    if is_open(scope["path"]):
        return None
    if caller.role is None:
        return problems.problem("unpaired", caller.over or None)
    if any(named not in {"", caller.household} for named in headers.getlist(WHOSE)):
        return problems.problem("unknown", "There is no such household, or it is not yours.")
    return no_change(scope, headers, caller) or beyond(scope, caller)


def no_change(scope: Scope, headers: Headers, caller: Caller) -> problems.Problem | None:
    """Why nothing may be changed by a request, if it is one that changes anything."""
    if scope["method"] in SAFE_METHODS:
        return None
    by_cookie = caller.session is not None and "authorization" not in headers
    if by_cookie and "origin" not in headers and "sec-fetch-site" not in headers:
        # Whoever has a cookie is a browser, and a browser says where a change comes from.
        return problems.problem("cross-site")
    return None if caller.may_write else problems.problem("not-allowed", "This token is for reading alone.")


def beyond(scope: Scope, caller: Caller) -> problems.Problem | None:
    """What only a keeper does, asked for by a member."""
    return None if caller.is_keeper or not is_for_keepers(scope) else problems.problem("not-allowed")


def address_of(scope: Scope) -> str:
    """Where a request comes from."""
    client = scope.get("client")
    return client[0] if client else ""
