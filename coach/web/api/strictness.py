"""What the JSON interface holds every request to: JSON as RFC 8259 writes it, and each parameter once."""

from __future__ import annotations

import json
from typing import TYPE_CHECKING, Any, NoReturn, get_origin

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from fastapi.routing import APIRoute

from coach.web.api.answers import problems, with_problem
from coach.web.api.repeating import once
from coach.web.security import SAFE_METHODS

if TYPE_CHECKING:
    from collections.abc import Callable, Coroutine, Iterator

    from fastapi import Response
    from fastapi.dependencies.models import Dependant


def read_json(content: bytes) -> Any:  # noqa: ANN401  JSON of any type
    """The value that a body holds, in UTF-8 and without a byte order mark, each key of an object once.

    Raises:
        JSONDecodeError: It holds none. The message is a kind that `coach.web.reasons` has words for, and the
            text itself is not kept.
    """
    try:
        value = json.loads(content.decode(), object_pairs_hook=_once, parse_constant=_no_number)
        if b"\\u" in content:
            # JSON can escape half of a character, which no text in UTF-8 holds.
            json.dumps(value, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        raise json.JSONDecodeError("half", "", 0) from None
    except UnicodeDecodeError as error:
        raise json.JSONDecodeError("utf-8", "", error.start) from None
    except json.JSONDecodeError as error:
        raise json.JSONDecodeError(_KIND.get(error.msg, error.msg), "", error.pos) from None
    except RecursionError:
        raise json.JSONDecodeError("depth", "", 0) from None
    except ValueError:  # Python reads no whole number of more than some thousands of digits.
        raise json.JSONDecodeError("digits", "", 0) from None
    return value


_KIND = {"Unexpected UTF-8 BOM (decode using utf-8-sig)": "utf-8"}


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise json.JSONDecodeError("key", "", 0)
    return found


def _no_number(_: str) -> NoReturn:
    """NaN and Infinity, which Python would read and RFC 8259 §6 does not have."""
    raise json.JSONDecodeError("number", "", 0)


class StrictRequest(Request):
    """A request whose body is read strictly."""

    async def json(self) -> Any:  # noqa: ANN401  JSON of any type
        """The value in the body."""
        return read_json(await self.body())


class StrictRoute(APIRoute):
    """An endpoint that is asked strictly, and documents what is answered before it is asked.

    Attributes:
        remembers: Whether a request that writes may carry an id, so that it is done once.
        is_secret: Whether its answers are kept sealed, and given again to nobody but the device that asked.
    """

    remembers = True
    is_secret = False

    def __init__(self, path: str, endpoint: Callable[..., Any], **options: Any) -> None:  # noqa: ANN401  APIRoute's
        methods = frozenset(options.get("methods") or ())
        writes = not methods <= SAFE_METHODS
        has_ids = writes and self.remembers
        asked = once(endpoint, methods, is_secret=self.is_secret) if has_ids else endpoint
        super().__init__(path, asked, **options)
        names = ["host", "unpaired", "failure"]
        names += ["cross-site"] if writes else []
        names += ["too-large"] if self.body_field else []
        said = {status: one for status, one in problems(*names).items() if status not in self.responses}
        self.responses = self.responses | said
        if has_ids:
            self.responses = with_problem(self.responses, "asked-otherwise")
        if has_ids and self.is_secret:
            self.responses = with_problem(self.responses, "said-once")

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        """What answers a request."""
        handler = super().get_route_handler()
        several = frozenset(_several(self.dependant))

        async def answer(request: Request) -> Response:
            _refuse_repeated(request, several)
            return await handler(StrictRequest(request.scope, request.receive))

        return answer


class SecretRoute(StrictRoute):
    """An endpoint whose answer holds a secret, or says something of the one device that asks."""

    is_secret = True


class DoorRoute(StrictRoute):
    """An endpoint for whoever is not let in yet, so that the code they have names their request too."""

    remembers = False


def _several(dependant: Dependant) -> Iterator[str]:
    """The parameters that may be given more than once."""
    for one in dependant.query_params:
        if get_origin(one.field_info.annotation) is list:
            yield one.alias
    for inner in dependant.dependencies:
        yield from _several(inner)


def _refuse_repeated(request: Request, several: frozenset[str]) -> None:
    """Refuse a parameter of one value that is given twice, whichever of them was meant."""
    if b"&" not in request.scope["query_string"]:
        return
    names = [name for name, _ in request.query_params.multi_items()]
    twice = sorted({name for name in names if names.count(name) > 1} - several)
    if twice:
        raise RequestValidationError(
            [{"type": "repeated", "loc": ("query", name), "msg": "", "input": None} for name in twice]
        )
