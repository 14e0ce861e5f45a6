"""Templates and what they are given: dates and shares in words, addresses of static files."""

from __future__ import annotations

import hashlib
import re
from functools import cache
from http import HTTPStatus
from pathlib import Path
from typing import TYPE_CHECKING, Any

from fastapi.templating import Jinja2Templates
from jinja2 import Environment, FileSystemLoader, StrictUndefined
from markupsafe import Markup

from coach.course.direction import balanced, isolated
from coach.course.recurrence import in_words
from coach.ground.wording import (
    dates_in_words,
    full_date,
    lines_words,
    long_date,
    minutes_words,
    moment,
    month_and_year,
    short_date,
    size_words,
)
from coach.habits.wording import SLOT_WORDS
from coach.limits import ANSWER_SECONDS
from coach.web.callers import caller_of
from coach.web.navigation import bar, coach_bar, is_current
from coach.web.pages.once import new_request_id
from coach.web.pages.seen import seen_text

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from fastapi import Request
    from fastapi.responses import HTMLResponse

HERE = Path(__file__).parent
STATIC = HERE / "static"
MANIFEST = "/manifest.webmanifest"
FONTS = (
    "/static/fonts/public-sans-figures.woff2?v=5.3.0",
    "/static/fonts/atkinson-hyperlegible-next-latin.woff2?v=5.3.0-2",
)
"""The fonts of today's list, as ground.css names them."""

MARKS = {"kept": "Kept", "small": "Small version", "excused": "Excused", "missed": "Missed"}
# The same where there is room for one word.
STAMPS = {**MARKS, "small": "Small"}
STATES = {
    "practising": "practising",
    "settled": "settled",
    "resting": "resting",
    "set-aside": "set aside",
    "ahead": "still to come",
}
PARTS = {
    "areas": ("/areas/week", "This week\u2019s area"),
    "dinner": ("/dinner", "Dinner"),
    "desk": ("/desk", "Desk"),
    "errands": ("/desk#errands-title", "Errands"),
}
"""Where a step that works in a part of the home plan leads, and what that is called."""

WEEKDAYS = {
    "MO": "Monday",
    "TU": "Tuesday",
    "WE": "Wednesday",
    "TH": "Thursday",
    "FR": "Friday",
    "SA": "Saturday",
    "SU": "Sunday",
}


def percent(share: float) -> str:
    """A share of one as whole percent, which no line breaks."""
    return f"{round(share * 100)}\u00a0%"


def bdi(text: str) -> Markup:
    """What a person wrote, as an element that keeps its direction to itself and may break anywhere."""
    return Markup("<bdi>") + balanced(text) + Markup("</bdi>")


@cache
def digest(name: str) -> str:
    """What a static file's address carries, so that a browser may keep the file while it is the same."""
    return hashlib.sha256((STATIC / name).read_bytes()).hexdigest()[:12]


def static(name: str) -> str:
    """The address of a static file."""
    return f"/static/{name}?v={digest(name)}"


@cache
def colour(name: str, *, dark: bool = False) -> str:
    """A colour out of tokens.css, for where no sheet reaches."""
    light, _, night = (STATIC / "tokens.css").read_text().partition("prefers-color-scheme: dark")
    found = re.search(rf"--{name}: (#[0-9a-f]{{6}});", night if dark else light)
    if found is None:
        raise LookupError(name)
    return found[1]


@cache
def manifest_address() -> str:
    """The address of the manifest; it is made of icons and colours, so they say whether it is the same."""
    icons = sorted(path.name for path in (STATIC / "icons").glob("*.png"))
    told = "".join(digest(name) for name in ("tokens.css", *(f"icons/{icon}" for icon in icons)))
    return f"{MANIFEST}?v={hashlib.sha256(told.encode()).hexdigest()[:12]}"


def breakable(text: str) -> Markup:
    """A text in which the name of a setting may go on in the next line after each of its words."""
    return Markup("_<wbr>").join(text.split("_"))


def environment() -> Environment:
    """Jinja with every value escaped, in SVG too, and every misspelt name an error."""
    env = Environment(
        loader=FileSystemLoader([HERE / "templates", STATIC]),
        autoescape=True,
        undefined=StrictUndefined,
        # A template is read once, like the digest of a static file: to look for a newer one takes time.
        auto_reload=False,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    env.filters |= {"short_date": short_date, "long_date": long_date, "full_date": full_date}
    env.filters |= {"month_and_year": month_and_year, "dates_in_words": dates_in_words}
    env.filters |= {"percent": percent, "minutes": minutes_words, "size": size_words, "moment": moment}
    env.filters |= {"lines": lines_words, "breakable": breakable}
    # What people wrote goes through one of these: the first on a page, the second where no element can stand.
    env.filters |= {"bdi": bdi, "isolated": isolated}
    # What a form carries of the fields it shows.
    env.filters["seen"] = seen_text
    env.filters["rule_words"] = in_words
    env.globals |= {
        "static": static,
        "manifest_address": manifest_address,
        "colour": colour,
        "is_current": is_current,
        "coach_bar": coach_bar,
        "new_request_id": new_request_id,
        "MARKS": MARKS,
        "STAMPS": STAMPS,
        "STATES": STATES,
        "SLOTS": SLOT_WORDS,
        "PARTS": PARTS,
        "WEEKDAYS": WEEKDAYS,
        "ANSWER_MILLISECONDS": 1000 * ANSWER_SECONDS,
    }
    return env


templates = Jinja2Templates(env=environment())


UNSAVED = "Nothing can be saved at present. Whoever runs this Steading sees why with `coach doctor`."


def is_partial(request: Request) -> bool:
    """Whether htmx asks, which puts the answer into a page that is already there."""
    return request.headers.get("hx-request") == "true"


def page(
    request: Request,
    name: str,
    values: Mapping[str, Any],
    status: int = 200,
    headers: Mapping[str, str] | None = None,
    places: Iterable[str] = (),
) -> HTMLResponse:
    """A template as an answer, with the bar for the pages of the home plan that are open.

    `findings` among the values are what is wrong with what the page shows; they stand at its top.
    """
    # After a failure nothing more is asked of the store; its own trouble is what the page is about then.
    works = status < HTTPStatus.INTERNAL_SERVER_ERROR
    unsaved = request.app.state.context.store.trouble() if works else None
    if unsaved and request.app.state.way == "hosted":
        unsaved = UNSAVED
    caller = caller_of(request.scope)
    beside = {"bar": bar(places), "unsaved": unsaved, "offline": request.app.state.offline}
    beside |= {"is_hosted": request.app.state.way == "hosted"}
    beside |= {"household": caller.household, "named": bool(caller.person)}
    return templates.TemplateResponse(request, name, {"findings": (), **values, **beside}, status, headers)
