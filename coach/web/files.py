"""Static files: browsers keep them for good under an address that carries their digest."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import parse_qs

from fastapi.staticfiles import StaticFiles

from coach.web.rendering import STATIC

if TYPE_CHECKING:
    import os

    from starlette.responses import Response
    from starlette.types import Scope

FOR_GOOD = "public, max-age=31536000, immutable"
ASK_AGAIN = "no-cache"


class Files(StaticFiles):
    """The `static` folder with the right Cache-Control."""

    def __init__(self) -> None:
        super().__init__(directory=STATIC)

    def file_response(
        self,
        full_path: str | os.PathLike[str],
        stat_result: os.stat_result,
        scope: Scope,
        status_code: int = 200,
    ) -> Response:
        """The file, or that it has not changed."""
        response = super().file_response(full_path, stat_result, scope, status_code)
        versioned = "v" in parse_qs(scope["query_string"].decode("latin-1"))
        response.headers["cache-control"] = FOR_GOOD if versioned else ASK_AGAIN
        return response
