"""Pages read and forms sent as a browser would."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from web.markup import Element, read

if TYPE_CHECKING:
    from web.house import House


def see(house: House, path: str) -> Element:
    """A page, read."""
    return read(house.http.get(path).text)


def send(house: House, path: str, **data: Any) -> str:  # noqa: ANN401  text or several texts
    """Send a form, and give the address it leads to."""
    answer = house.http.post(path, data=data)
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def refused(house: House, path: str, data: dict[str, str]) -> Element:
    """Send a form that cannot be used, and read the page that comes back."""
    answer = house.http.post(path, data=data)
    assert answer.status_code == 422, answer.text
    return read(answer.text)


def values(page: Element) -> dict[str, str]:
    """What the fields of a page's forms hold, as a browser would send it."""
    found: dict[str, str] = {}
    for field in page.every():
        name = field.attributes.get("name")
        if name is None or field.tag not in {"input", "select", "textarea"}:
            continue
        if field.tag == "textarea":
            found[name] = "".join(part for part in field.inside if isinstance(part, str))
        elif field.tag == "select":
            every = list(field.every("option"))
            options = [one for one in every if "selected" in one.attributes] or every
            found[name] = options[0].attributes.get("value", options[0].text) if options else ""
        elif field.attributes.get("type") not in {"radio", "checkbox"} or "checked" in field.attributes:
            found[name] = field.attributes.get("value", "")
    return found
