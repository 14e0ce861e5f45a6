"""Requests that are sent again: one with a `request_id` is done once (`coach.ground.once`)."""

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import wraps
from hashlib import sha256
from inspect import Parameter, signature
from typing import TYPE_CHECKING, Annotated, Any, get_args

from fastapi import Query, Request, Response

from coach.errors import NotAllowed, SteadingError, StoreError
from coach.ground.answered import Answered
from coach.ground.once import Known, Named, OnceStore
from coach.web.api.fields import REQUEST_ID, BareBody, Body, RequestId
from coach.web.api.sealing import opened, sealed
from coach.web.callers import caller_of

if TYPE_CHECKING:
    from coach.ground.ports import Context

FIELD = "request_id"
MEDIA_TYPE = "application/json"
_REQUEST, _SAID = "asking", "named"
# What an endpoint is given beside its own, to know the request by.

Endpoint = Callable[..., Response]
InQuery = Annotated[RequestId | None, Query(alias=FIELD, description=REQUEST_ID)]


def once(endpoint: Endpoint, methods: frozenset[str], *, is_secret: bool = False) -> Endpoint:
    """An endpoint that does once what it is asked for under one id.

    The id comes in the body, or in the query where that is no object, or where there is none to a DELETE.

    Args:
        endpoint: What writes; it is not asynchronous, has a `context`, and answers with JSON.
        methods: Its methods.
        is_secret: Whether its answers are for the device alone that asked, and are kept sealed.
    """
    if hasattr(endpoint, "__once__"):
        return endpoint

    known = signature(endpoint)
    # A route fills in one request only, so one that the endpoint asks for is used here too.
    own = next((one.name for one in known.parameters.values() if one.annotation is Request), None)

    @wraps(endpoint)
    def answer(**values: Any) -> Response:  # noqa: ANN401  whatever the endpoint takes
        request, said = values[own] if own else values.pop(_REQUEST), values.pop(_SAID, None)
        request_id = id_of(said, values)
        if request_id is None:
            return endpoint(**values)
        return _answered(endpoint, request, request_id, values, is_secret=is_secret)

    asking = [] if own else [_parameter(_REQUEST, Request)]
    more = [*known.parameters.values(), *asking, *_saying(known.parameters, methods)]
    answer.__signature__ = known.replace(parameters=more)  # type: ignore[attr-defined]  # what inspect reads
    answer.__once__ = True  # type: ignore[attr-defined]  # an included router makes its routes anew
    return answer


def _parameter(name: str, annotation: object, default: object = Parameter.empty) -> Parameter:
    return Parameter(name, Parameter.KEYWORD_ONLY, annotation=annotation, default=default)


def _saying(parameters: Mapping[str, Parameter], methods: frozenset[str]) -> list[Parameter]:
    """What takes the id where the endpoint has no body that does."""
    annotations = [one.annotation for one in parameters.values()]
    if any(_has(one, Body) for one in annotations):
        return []
    if "DELETE" in methods or any(_has(one, bytes) for one in annotations):
        return [_parameter(_SAID, InQuery, None)]
    return [_parameter(_SAID, BareBody | None, None)]


def _has(annotation: object, kind: type) -> bool:
    """Whether an annotation names a kind, by itself or among others."""
    if isinstance(annotation, type) and issubclass(annotation, kind):
        return True
    return any(_has(one, kind) for one in get_args(annotation))


def id_of(said: object, values: Mapping[str, Any]) -> str | None:
    """The id that a request has, out of what its endpoint is given."""
    if isinstance(said, str):
        return said
    bodies = [one for one in (said, *values.values()) if isinstance(one, Body)]
    return bodies[0].request_id if bodies else None


def _answered(
    endpoint: Endpoint, request: Request, request_id: str, values: dict[str, Any], *, is_secret: bool
) -> Response:
    """The answer to a request that has an id: what it got before, or what comes of it now."""
    context: Context = values["context"]
    caller = caller_of(request.scope)
    device = [caller.person, caller.session.id if caller.session else ""] if is_secret else []
    # A coach without a home has no household to keep an answer for; no household's key has a space.
    asker = caller.household or f"coach {caller.person}"
    named = Named(request_id, asker, _asked(request, values, device), context.clock())
    store = OnceStore(context.store, named)
    values["context"] = replace(context, store=store, request_id=request_id, again=True)
    try:
        return store.run(lambda: endpoint(**values), _given(named, is_secret=is_secret))
    except Known as known:
        return _again(known.answered, is_secret=is_secret)
    except (NotAllowed, StoreError):
        raise
    except SteadingError:
        # It may have been written a moment ago, or what it is about may be gone since it was.
        found = store.known()
        if found is None:
            raise
        return _again(found, is_secret=is_secret)


def _given(named: Named, *, is_secret: bool) -> Callable[[Response], Answered]:
    def given(answer: Response) -> Answered:
        plain = Answered(named.asked, answer.status_code, bytes(answer.body).decode())
        return sealed(plain) if is_secret else plain

    return given


def _again(kept: Answered, *, is_secret: bool) -> Response:
    answered = opened(kept) if is_secret else kept
    return Response(answered.body, answered.status, media_type=MEDIA_TYPE)


def _asked(request: Request, values: Mapping[str, Any], device: list[str]) -> str:
    """SHA-256 of what is asked: method, address, query, body, all without the id, and of the device."""
    query = sorted(one for one in request.query_params.multi_items() if one[0] != FIELD)
    bodies = [_body(one) for one in values.values() if isinstance(one, Body | bytes)]
    asked = [request.method, request.scope["path"], query, bodies, *device]
    return sha256(json.dumps(asked, sort_keys=True).encode()).hexdigest()


def _body(value: Body | bytes) -> object:
    if isinstance(value, bytes):
        return sha256(value).hexdigest()
    return value.model_dump(mode="json", exclude_unset=True)
