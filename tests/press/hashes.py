"""All four kinds of printed pages, each as the hash of its bytes, to be compared between processes."""

from __future__ import annotations

from hashlib import sha256

from coach.press.booklet import booklet
from coach.press.cards import cards
from coach.press.handover import handover
from coach.press.printed import Printed
from coach.press.sheet import sheet
from press.made import a_sheet
from press.test_books import MARKDOWN, a_course, a_page, of, records
from press.test_cards import some


def hashes() -> str:
    """The hashes of a sheet, cards, a handover and a booklet, made anew."""
    made = (
        sheet(a_sheet(12, back=True)),
        cards(some(2)),
        handover(of(a_page(MARKDOWN), sections=(records(),))),
        booklet(a_course(MARKDOWN, 2)),
    )
    return " ".join(sha256(one.pdf).hexdigest() for one in made if isinstance(one, Printed))
