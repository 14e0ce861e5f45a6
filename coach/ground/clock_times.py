"""A date and time on a wall clock, and how the description of the interface says it."""

import datetime as dt
from collections.abc import Callable
from typing import Annotated, Any


class _NoZone:
    """Takes `date-time` out of the description, for RFC 3339 has none of that name without a zone."""

    def __get_pydantic_json_schema__(
        self, schema: object, handler: Callable[[object], dict[str, Any]]
    ) -> dict[str, Any]:
        said = {key: value for key, value in handler(schema).items() if key != "format"}
        return said | {"pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}$"}


WallTime = Annotated[dt.datetime, _NoZone()]
