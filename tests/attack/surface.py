"""All that can be asked of a service: its routes, and the addresses and forms on its pages."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any
from urllib.parse import urljoin, urlsplit

from starlette.routing import compile_path

from web.forms import values

if TYPE_CHECKING:
    import re
    from collections.abc import Iterator
    from random import Random

    from web.markup import Element


@dataclass(frozen=True)
class Form:
    """A form as a page shows it.

    Attributes:
        method: In upper case.
        action: The address it is sent to.
        fields: Names and values as a browser would send them, in order; of its buttons the first with a name.
        files: The names of its fields for files.
    """

    method: str
    action: str
    fields: tuple[tuple[str, str], ...]
    files: tuple[str, ...]


def forms(page: Element, address: str) -> Iterator[Form]:
    """The forms of a page, each once for every button that sends something of its own."""
    for form in page.every("form"):
        method = form.attributes.get("method", "get").upper()
        files = tuple(field.attributes["name"] for field in form.every("input", type="file"))
        held = tuple((name, value) for name, value in values(form).items() if name not in files)
        buttons = [one for one in form.every("button") if one.attributes.get("type") != "button"]
        for button in buttons or [form]:
            action = button.attributes.get("formaction") or form.attributes.get("action", address)
            named = button.attributes.get("name") if button is not form else None
            own = ((named, button.attributes.get("value", "")),) if named else ()
            yield Form(method, urljoin(address, action), (*held, *own), files)


def links(page: Element, address: str) -> set[str]:
    """The addresses of the service itself that a page leads to, without anchors."""
    found = {urljoin(address, one.attributes.get("href", "")).partition("#")[0] for one in page.every("a")}
    return {one for one in found if one.startswith("/") and not urlsplit(one).netloc}


@dataclass
class Routes:
    """The routes of the application, and which of them have been asked.

    Attributes:
        all: Method and path template of each.
        asked: Those that a request has met.
    """

    all: dict[tuple[str, str], re.Pattern[str]]
    asked: set[tuple[str, str]] = field(default_factory=set)

    @classmethod
    def of(cls, app: Any) -> Routes:  # noqa: ANN401  included routers publish no type
        """Every route of an application that has methods, those of included routers too."""
        return cls({(verb, path): compile_path(path)[0] for verb, path in _routes(app.routes, "")})

    def template(self, method: str, path: str) -> str | None:
        """The path template of the route that answers a request; none: there is no such route."""
        found = (one for (verb, one), fits in self.all.items() if verb == method and fits.match(path))
        return next(found, None)

    def meet(self, method: str, path: str) -> None:
        """A request was answered by some route."""
        template = self.template(method, path)
        if template is not None:
            self.asked.add((method, template))


def _routes(listed: Any, prefix: str) -> Iterator[tuple[str, str]]:  # noqa: ANN401  the same
    for route in listed:
        if hasattr(route, "original_router"):
            yield from _routes(route.original_router.routes, prefix + route.include_context.prefix)
        else:
            for verb in getattr(route, "methods", None) or ():
                yield verb, prefix + route.path


def example(schema: dict[str, Any], parts: dict[str, Any], random: Random, depth: int = 0) -> Any:  # noqa: ANN401  JSON
    """A value that a JSON schema of the interface allows, as far as a schema can say."""
    if "$ref" in schema:
        return example(parts[schema["$ref"].rpartition("/")[2]], parts, random, depth)
    for key in ("anyOf", "oneOf", "allOf"):
        if key in schema:
            return example(random.choice(schema[key]), parts, random, depth)
    if "enum" in schema or "const" in schema:
        return random.choice(schema.get("enum") or [schema["const"]])
    if schema.get("examples"):
        return random.choice(schema["examples"])
    return _of_type(schema, parts, random, depth)


def _of_type(schema: dict[str, Any], parts: dict[str, Any], random: Random, depth: int) -> Any:  # noqa: ANN401  JSON
    match schema.get("type"):
        case "object":
            needed = set(schema.get("required", ()))
            listed = schema.get("properties", {})
            chosen = [key for key in listed if key in needed or random.random() < 0.6]
            return {key: example(listed[key], parts, random, depth + 1) for key in chosen}
        case "array":
            several = range(max(schema.get("minItems", 0), random.randint(0, 2)))
            return [example(schema.get("items", {}), parts, random, depth + 1) for _ in several]
        case "integer" | "number":
            return random.randint(int(schema.get("minimum", 0)), int(schema.get("maximum", 30)))
        case "boolean":
            return random.random() < 0.5
        case "null":
            return None
        case _:
            return (
                "2027-01-15"
                if schema.get("format") == "date"
                else random.choice(("soup", "MO", "kept", "07:30"))
            )
