"""How lessons are built: blocks, sentences and endings, what they name, what part they play in a step."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from markdown_it import MarkdownIt

from coach.coaching.lessons_folder import shipped_lessons
from coach.course.front_matter import lesson_file

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from markdown_it.token import Token

FOLDERS = ("three-weeks", "catalogue", "steady", "returning")

SHORT_ENDING = 12
"""The most words of a last sentence that reads like a saying."""

REPEATED = 4
"""The fewest words of a sentence that must not stand in two lessons."""

BRANDS = (
    "YouGov", "Ipsos", "Gallup", "Kantar", "Nielsen", "Mintel", "Statista", "Tupperware", "Hoover",
    "Sellotape", "Velcro", "Post-it", "Blu-Tack", "Biro", "Thermos", "Jiffy bag", "Lego", "Ikea", "Dettol",
    "Domestos", "Fairy Liquid", "Lysol", "Clorox", "Swiffer", "Febreze", "Kleenex", "Rolodex", "Google",
    "Alexa", "iPhone", "iPad", "WhatsApp", "YouTube", "Netflix", "Amazon", "eBay",
)  # fmt: skip
"""Firms, brands and polling brands that writing about homes falls into, with those that have become words."""

ROLES = {
    "s": r"small (version|mark|way|one|evening|morning|week|day)|smallest|counts as kept",
    "m": r"\bmiss(ed|es|ing)?\b|yesterday|last night|forg[eo]t|did not happen|still there|gone by without",
}
"""The words by which a lesson of a step speaks of its small version, and of a day without it."""

_PARSER = MarkdownIt("commonmark")
_BRANDS = re.compile(rf"\b({'|'.join(map(re.escape, BRANDS))})\b", re.IGNORECASE)
_SENTENCE_ENDS = re.compile(r"""(?<=[.!?])["”)]*\s+(?=["“(]*[A-Z0-9{])""")
_LETTERS = {"paragraph_open": "p", "bullet_list_open": "l", "ordered_list_open": "l", "blockquote_open": "q"}


@dataclass(frozen=True, slots=True)
class Piece:
    """One lesson and where it stands.

    Attributes:
        place: Its folder and the name of its file, such as `steady/01-cues`.
    """

    place: str
    title: str
    markdown: str

    @property
    def shape(self) -> tuple[str, ...]:
        """Its blocks in order: `p3` a paragraph of three sentences, `l4` a list of four, `q` a quotation."""
        return tuple(_letter(block) for block in _blocks(self.markdown))

    @property
    def sentences(self) -> tuple[str, ...]:
        """All its sentences without emphasis, list items among them."""
        return tuple(one for block in _blocks(self.markdown) for one in _sentences(block))

    @property
    def ending(self) -> int | None:
        """How many words its last sentence has; none if it ends with a list, which is no saying."""
        last = _blocks(self.markdown)[-1]
        return None if _letter(last).startswith("l") else len(_sentences(last)[-1].split())

    @property
    def ends_short(self) -> bool:
        """Whether it ends in a sentence of few words."""
        return self.ending is not None and self.ending <= SHORT_ENDING

    @property
    def brands(self) -> list[str]:
        """The firms and brands it names."""
        return [found[0] for found in _BRANDS.finditer(f"{self.title}\n{self.markdown}")]

    @property
    def role(self) -> str:
        """What it speaks of, in letters of `ROLES`; a hyphen for neither."""
        said = f"{self.title}\n{self.markdown}"
        return "".join(key for key, words in ROLES.items() if re.search(words, said, re.IGNORECASE)) or "-"


def pieces() -> Iterator[Piece]:
    """Every lesson that ships, folder by folder and file by file."""
    for folder in FOLDERS:
        for path in sorted((shipped_lessons() / folder).glob("*.md")):
            place = f"{folder}/{path.stem}"
            lessons = lesson_file(path.name, path.read_bytes()).text.lessons
            yield from (Piece(place, lesson.title, lesson.markdown) for lesson in lessons)


def key_of(sentence: str) -> str:
    """A sentence without its capitals and marks, as it is compared with others."""
    return " ".join(re.findall(r"[\w'{}]+", sentence.lower()))


def _blocks(markdown: str) -> list[Sequence[Token]]:
    """The tokens of each block that stands in no other."""
    tokens, found = _PARSER.parse(markdown), list[list["Token"]]()
    for token in tokens:
        if token.level == 0 and token.nesting >= 0:
            found.append([])
        found[-1].append(token)
    return [tuple(block) for block in found]


def _letter(block: Sequence[Token]) -> str:
    letter = _LETTERS.get(block[0].type, block[0].type)
    counted = {"p": len(_sentences(block)), "l": sum(token.type == "list_item_open" for token in block)}
    return f"{letter}{counted.get(letter, '')}"


def _sentences(block: Sequence[Token]) -> list[str]:
    texts = [token.content for token in block if token.type == "inline"]
    plain = (" ".join(re.sub(r"[*_`]", "", text).split()) for text in texts)
    return [sentence for text in plain for sentence in _SENTENCE_ENDS.split(text)]
