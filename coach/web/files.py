"""Static files: compressed, and kept by browsers for good under an address that carries their digest."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.parse import parse_qs

from fastapi.responses import FileResponse, Response
from fastapi.staticfiles import StaticFiles
from starlette.datastructures import Headers
from starlette.staticfiles import NotModifiedResponse

from coach.web.compression import BEST, ENCODED, packed, takes_gzip
from coach.web.rendering import STATIC

if TYPE_CHECKING:
    import os

    from starlette.types import Scope

FOR_GOOD = "public, max-age=31536000, immutable"
ASK_AGAIN = "no-cache"
TEXTS = {".css", ".js", ".svg", ".txt"}
"""What gets smaller. A font in WOFF2 is compressed in itself."""


class Files(StaticFiles):
    """The `static` folder with the right Cache-Control, texts compressed for whoever reads that."""

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
        file, headers = Path(full_path), Headers(scope=scope)
        is_text = file.suffix in TEXTS
        # A part of a file is a part of its own bytes.
        if is_text and takes_gzip(headers) and "range" not in headers:
            response = self._packed_response(file, stat_result, headers)
        else:
            response = super().file_response(full_path, stat_result, scope, status_code)
        versioned = "v" in parse_qs(scope["query_string"].decode("latin-1"))
        response.headers["cache-control"] = FOR_GOOD if versioned else ASK_AGAIN
        if is_text:
            response.headers["vary"] = ENCODED["vary"]
        return response

    def _packed_response(self, file: Path, stat_result: os.stat_result, headers: Headers) -> Response:
        plain = FileResponse(file, stat_result=stat_result).headers
        response = Response(
            packed_file(file, stat_result.st_mtime_ns, stat_result.st_size),
            headers={
                **ENCODED,
                "content-type": plain["content-type"],
                "last-modified": plain["last-modified"],
                # A strong tag is of the bytes, so these have another (RFC 9110 §8.8.3.3).
                "etag": f'{plain["etag"][:-1]}-gzip"',
            },
        )
        return (
            NotModifiedResponse(response.headers)
            if self.is_not_modified(response.headers, headers)
            else response
        )


@lru_cache(maxsize=64)
def packed_file(file: Path, written: int, size: int) -> bytes:  # noqa: ARG001  they say which version of it
    """A file compressed as small as it gets, once for each version of it.

    Args:
        file: Where it lies.
        written: When it was written, in nanoseconds.
        size: Its bytes.
    """
    return packed(file.read_bytes(), BEST)
