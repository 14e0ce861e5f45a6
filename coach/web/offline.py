"""`/sw.js`, `/today/offline`, `/manifest.webmanifest`: what a browser keeps of the pages without network."""

from __future__ import annotations

import hashlib
import json
from functools import cache
from typing import Any

from fastapi import APIRouter, Request, Response

from coach.web.files import ASK_AGAIN, FOR_GOOD
from coach.web.rendering import FONTS, MANIFEST, STATIC, colour, static, templates

router = APIRouter(include_in_schema=False)

SHELL = "/today/offline"
"""The page that stands in for today's; there is nothing of any household in it."""

SHEETS = (
    "tokens",
    "ground",
    "motifs",
    "controls",
    "list",
    "path",
    "notes",
    "kitchen",
    "around",
    "large",
    "print",
)
SCRIPTS = ("kept", "unsent", "steading", "offline")
JAVASCRIPT = "text/javascript; charset=utf-8"


@cache
def files() -> tuple[str, ...]:
    """The addresses of what today's page and the one in its place are made of."""
    sheets = [static(f"{name}.css") for name in SHEETS]
    scripts = [static(f"{name}.js") for name in SCRIPTS]
    others = [static("vendor/htmx-4.0.1.min.js"), static("gate.svg")]
    return (*sheets, *scripts, *others, *FONTS)


@cache
def shell() -> bytes:
    """The page that shows what the browser kept."""
    shown = {"navigation": False, "unsaved": None, "findings": ()}
    return templates.get_template("offline.html").render(shown).encode()


@cache
def worker(*, wanted: bool) -> bytes:
    """The service worker, or where none is wanted one that takes itself away with all it has kept."""
    if not wanted:
        return (STATIC / "worker-off.js").read_bytes()
    text = (STATIC / "worker.js").read_bytes()
    version = hashlib.sha256(b"\n".join([text, shell(), *(one.encode() for one in files())])).hexdigest()[:12]
    lasting = {
        "cache": f"steading-{version}",
        "shell": SHELL,
        "files": files(),
        "scripts": [static("kept.js")],
        "icon": static("icons/gate-192.png"),
    }
    return b"const LASTING = " + json.dumps(lasting).encode() + b";\n" + text


@cache
def manifest() -> bytes:
    """How Steading stands on a home screen (W3C, Web Application Manifest)."""
    icon: dict[str, Any] = {"type": "image/png"}
    icons = [
        icon | {"src": static(f"icons/{name}.png"), "sizes": f"{size}x{size}", "purpose": purpose}
        for name, size, purpose in (
            ("gate-192", 192, "any"),
            ("gate-512", 512, "any"),
            ("gate-maskable-512", 512, "maskable"),
        )
    ]
    said = {"id": "/today", "start_url": "/today", "scope": "/", "display": "standalone", "lang": "en-GB"}
    named = {"name": "Steading", "short_name": "Steading", "icons": icons}
    colours = {"theme_color": colour("paper"), "background_color": colour("paper")}
    return json.dumps(named | said | colours).encode()


@router.get("/sw.js")
async def service_worker(request: Request) -> Response:
    """The worker as the settings want it, asked for anew each time."""
    text = worker(wanted=request.app.state.offline)
    tag = f'"{hashlib.sha256(text).hexdigest()[:16]}"'
    headers = {"cache-control": ASK_AGAIN, "etag": tag}
    if request.headers.get("if-none-match") == tag:
        return Response(status_code=304, headers=headers)
    return Response(text, media_type=JAVASCRIPT, headers=headers)


@router.get(SHELL)
async def offline_page() -> Response:
    """The page in today's place, the same for everybody."""
    return Response(shell(), media_type="text/html; charset=utf-8")


@router.get(MANIFEST)
async def web_manifest(request: Request) -> Response:
    """The manifest, kept for good under the address that names what is in it."""
    lasts = FOR_GOOD if "v" in request.query_params else ASK_AGAIN
    return Response(manifest(), media_type="application/manifest+json", headers={"cache-control": lasts})
