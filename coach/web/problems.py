"""How an error is said: problem+json (RFC 9457) to programs, a plain page to people."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from fastapi.exceptions import RequestValidationError
from fastapi.responses import RedirectResponse, Response
from starlette.exceptions import HTTPException

from coach import errors
from coach.ground.faults import Unfit
from coach.limits import RETRY_SECONDS
from coach.web import rendering
from coach.web.addresses import methods_at
from coach.web.callers import caller_of
from coach.web.events import tell
from coach.web.headers import with_ours
from coach.web.navigation import open_places
from coach.web.pairing import PAIR, pairing_page
from coach.web.problem_kinds import KINDS, START
from coach.web.reasons import reason
from coach.web.uploads import no_room

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fastapi import FastAPI, Request

MEDIA_TYPE = "application/problem+json"


@dataclass(frozen=True, slots=True)
class Problem:
    """One kind of problem with what is particular about this case.

    Attributes:
        name: The last part of its `type`, which is also the address of a page that explains it.
        title: The kind in a few words, always the same.
        detail: This case, with what to do.
        extra: Further members, such as the faults of a file.
    """

    name: str
    title: str
    status: int
    detail: str
    extra: Mapping[str, Any] = field(default_factory=dict)


_OF_ERROR: dict[type[errors.SteadingError], str] = {
    errors.Unknown: "unknown",
    errors.NotEditable: "not-editable",
    errors.Outdated: "outdated",
    errors.Repeated: "not-editable",
    errors.AskedOtherwise: "asked-otherwise",
    errors.SaidOnce: "said-once",
    errors.NotStarted: "not-started",
    errors.AlreadyStarted: "already-started",
    errors.FaultyFile: "faulty-file",
    errors.NotAllowed: "not-allowed",
    errors.WrongCode: "wrong-code",
    errors.WrongPasskey: "wrong-passkey",
    errors.ConfirmFirst: "confirm-first",
    errors.TooOften: "too-often",
    errors.Newer: "newer",
    errors.Malformed: "malformed",
    errors.DoesNotFit: "does-not-fit",
    errors.StoreError: "store",
    errors.Crowded: "crowded",
    errors.NotReady: "not-ready",
}
_OF_STATUS = {
    404: "unknown",
    405: "method",
    413: "too-large",
    415: "media-type",
    422: "malformed",
    503: "crowded",
}
NOT_TOLD = (
    "Nothing was saved. Try again in a moment. Whoever runs this Steading finds out what is wrong with "
    "`coach doctor`."
)
RETRY = {"Retry-After": str(RETRY_SECONDS)}


def problem(name: str, detail: str | None = None, **extra: Any) -> Problem:  # noqa: ANN401  members of any JSON type
    """A problem of a kind; without a detail, the kind's general explanation stands in."""
    title, status, general = KINDS[name]
    return Problem(name, title, status, detail or general, extra)


def of_error(error: errors.SteadingError) -> Problem:
    """What a domain error is to the web; the nearest kind in its class's ancestry decides."""
    name = next(_OF_ERROR[kind] for kind in type(error).__mro__ if kind in _OF_ERROR)
    if isinstance(error, errors.FaultyFile):
        faults = [{"file": fault.file, "line": fault.line, "reason": fault.reason} for fault in error.faults]
        return problem(name, _of_faults(error), faults=faults, **_more(error.more))
    if isinstance(error, errors.NotStarted):
        return problem(name, str(error) or None, start=START)
    if isinstance(error, errors.Outdated | errors.Newer):
        return problem(name, str(error), **error.now)
    if isinstance(error, Unfit):
        fields = [{"field": fault.field, "reason": fault.reason} for fault in error.faults]
        return problem(name, str(error), fields=fields, **_more(error.more))
    return problem(name, str(error) or None)


def _of_faults(error: errors.FaultyFile) -> str:
    count = "one fault" if error.count == 1 else f"{error.count} faults"
    rest = f" The first {len(error.faults)} are listed." if error.more else ""
    return f"Nothing was taken over: the file has {count}.{rest}"


def of_validation(error: RequestValidationError) -> Problem:
    """What was wrong with a request, value by value; the values themselves are not repeated."""
    every = error.errors()
    found = [{"where": _place(one["loc"]), "reason": reason(one)} for one in every[: errors.MOST_NAMED]]
    more = len(every) - len(found)
    detail = "; ".join(f"{one['where']}: {one['reason']}" for one in found)
    rest = f"; and {more} more" if more else ""
    return problem("malformed", f"{detail}{rest}", errors=found, **_more(more))


def _more(number: int) -> dict[str, int]:
    """The member that counts the faults that are not named, where there are any."""
    return {"more": number} if number else {}


def _place(parts: Iterable[object]) -> str:
    return "/".join(str(part) for part in parts)


def of_http(error: HTTPException) -> Problem:
    """What an error of the framework is: no such page, wrong method, too much in one request."""
    if isinstance(error.__cause__, OSError):
        # A form with a file that could not be put aside while it came in.
        return of_error(no_room(error.__cause__))
    name = _OF_STATUS.get(error.status_code)
    if name is not None:
        return problem(name)
    phrase = HTTPStatus(error.status_code).phrase
    return Problem("request", phrase, error.status_code, str(error.detail))


def is_for_program(request: Request) -> bool:
    """Whether the one who asks is a program: anything that is not a page."""
    return str(request.scope["path"]).startswith(("/api", "/healthz", "/openapi.json"))


def answer(
    request: Request,
    found: Problem,
    headers: Mapping[str, str] | None = None,
    error: BaseException | None = None,
) -> Response:
    """The problem as problem+json or as a page; what htmx asked for goes where the page shows trouble.

    Args:
        request: What is answered.
        found: The problem.
        headers: Headers that the answer carries beside.
        error: What was raised, where the log is to tell the place.
    """
    tell(request.scope, found.name, error)
    if is_for_program(request):
        body = {"type": f"/problems/{found.name}", "title": found.title, "status": found.status}
        body = {**found.extra, **body, "detail": found.detail}
        # A sentence may name what was sent, and JSON can send half a character, which no answer can hold.
        written = json.dumps(body, ensure_ascii=False).encode(errors="replace")
        return Response(written, found.status, headers, MEDIA_TYPE)
    if found.name == "not-started":
        return to_start(request)
    if found.name == "unpaired":
        return to_pairing(request, found, headers)
    # After a fault of our own nothing more is asked of the store, not even which places there are.
    caller = caller_of(request.scope)
    has_bar = found.status < HTTPStatus.INTERNAL_SERVER_ERROR and caller.role is not None
    context = {"problem": found, "navigation": has_bar}
    if rendering.is_partial(request):
        beside = {"HX-Retarget": "#trouble", "HX-Reswap": "innerHTML", **(headers or {})}
        return rendering.page(request, "parts/trouble.html", context, found.status, beside)
    shown = open_places(request.app.state.context, caller.household) if has_bar else ()
    return rendering.page(request, "problem.html", context, found.status, headers, shown)


def of_store(request: Request, error: errors.StoreError) -> Response:
    """The answer while the database cannot be used, which the log tells of."""
    headers = RETRY if isinstance(error, errors.Busy) else None
    found = of_error(error)
    if request.app.state.way == "hosted":
        # The sentence names files and servers of the machine, which are whoever's who runs it.
        found = problem(found.name, NOT_TOLD)
    return answer(request, found, headers, error=error)


def _when_again(error: errors.SteadingError) -> Mapping[str, str] | None:
    """When the same may be tried again, if that is known."""
    if isinstance(error, errors.TooOften):
        return {"Retry-After": str(error.seconds)}
    return RETRY if isinstance(error, errors.Crowded) else None


def to_start(request: Request) -> Response:
    """Send someone who has not begun to the page where one begins."""
    if rendering.is_partial(request):
        return Response(status_code=HTTPStatus.NO_CONTENT, headers={"HX-Redirect": START})
    return RedirectResponse(START, HTTPStatus.SEE_OTHER)


def to_pairing(request: Request, found: Problem, headers: Mapping[str, str] | None) -> Response:
    """The page that pairs, in the place of the one that was asked for; it shows nothing of the household."""
    if rendering.is_partial(request):
        beside = {"HX-Redirect": PAIR, "HX-Retarget": "#trouble", "HX-Reswap": "innerHTML", **(headers or {})}
        return rendering.page(request, "parts/trouble.html", {"problem": found}, found.status, beside)
    general = KINDS[found.name][2]
    return pairing_page(request, found.status, trouble="" if found.detail == general else found.detail)


def register(app: FastAPI) -> None:
    """Put every kind of error into words in this one place."""

    @app.exception_handler(errors.SteadingError)
    async def domain(request: Request, error: errors.SteadingError) -> Response:
        if isinstance(error, errors.StoreError):
            return of_store(request, error)
        return answer(request, of_error(error), _when_again(error))

    @app.exception_handler(RequestValidationError)
    async def validation(request: Request, error: RequestValidationError) -> Response:
        return answer(request, of_validation(error))

    @app.exception_handler(HTTPException)
    async def http(request: Request, error: HTTPException) -> Response:
        headers = dict(error.headers or {})
        if error.status_code == HTTPStatus.METHOD_NOT_ALLOWED:
            # The framework names the methods of the first route that has the address, and no others.
            headers["Allow"] = ", ".join(methods_at(request.scope))
        return answer(request, of_http(error), headers)

    @app.exception_handler(Exception)
    async def failure(request: Request, error: Exception) -> Response:
        response = answer(request, problem("failure"), error=error)
        # Starlette gives this answer outside of every middleware, so past the guard.
        response.raw_headers = with_ours(response.raw_headers)
        return response
