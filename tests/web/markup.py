"""HTML read as a tree, to look at what a page shows."""

from __future__ import annotations

from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


@dataclass
class Element:
    """One element with what is inside it."""

    tag: str
    attributes: dict[str, str]
    inside: list[Element | str] = field(default_factory=list)

    @property
    def classes(self) -> set[str]:
        return set(self.attributes.get("class", "").split())

    @property
    def text(self) -> str:
        """All text, with white space as a browser shows it; people's words (`bdi`) stand close to others."""
        parts = (part if isinstance(part, str) else _beside(part) for part in self.inside)
        return " ".join("".join(parts).split())

    def every(self, tag: str = "", name: str = "", **attributes: str) -> Iterator[Element]:
        """Elements inside of that tag, class and attributes, in document order."""
        for part in self.inside:
            if isinstance(part, str):
                continue
            fits = (not tag or part.tag == tag) and (not name or name in part.classes)
            if fits and all(part.attributes.get(key) == value for key, value in attributes.items()):
                yield part
            yield from part.every(tag, name, **attributes)

    def one(self, tag: str = "", name: str = "", **attributes: str) -> Element:
        """The first of them."""
        return next(self.every(tag, name, **attributes))


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open = [Element("document", {})]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].inside.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.open[-1].inside.append(Element(tag, {name: value or "" for name, value in attrs}))

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].tag == tag, f"</{tag}> closes <{self.open[-1].tag}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].inside.append(data)


def read(html: str) -> Element:
    """The document of an HTML text; a tag that is not closed or closed twice is an error."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    assert len(reader.open) == 1, [element.tag for element in reader.open]
    return reader.open[0]


def _beside(element: Element) -> str:
    """An element's text as it stands beside other text."""
    return element.text if element.tag == "bdi" else f" {element.text} "
