"""Make the pictures of docs/pictures anew from the real pages: `python tests/docs/pictures.py`.

It needs chromium. Tern Street, the household of the demo, on one day: today's page as a phone shows it, the
others as a desk does; and what is printed, as the press sets it.
"""

from __future__ import annotations

import re
import subprocess
import sys
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING
from urllib.request import urlopen

import pypdfium2
from playwright.sync_api import sync_playwright

if TYPE_CHECKING:
    from collections.abc import Iterator

    from playwright.sync_api import Browser

PICTURES = Path(__file__).parents[2] / "docs" / "pictures"
CHROMIUM = "/usr/bin/chromium"
FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run")
QUIET = ("--disable-background-networking", "--disable-component-update", "--disable-sync")
TODAY = "2027-01-05"
PHONE, DESK = 390, 1280
PAGES = {"today": PHONE, "path": DESK, "week": DESK, "areas": DESK, "sheet": DESK}
"""Each page with the width in pixels at which it is shown."""
PRINTED = {"sheet-printed": "sheet", "cards-printed": "cards"}
"""Each picture of paper with the page that is printed."""


def main() -> int:
    """Start the demo, look at its pages, and keep what is seen."""
    with _demo() as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=[*FLAGS, *QUIET])
        for name, width in PAGES.items():
            _photograph(browser, address, name, width)
        browser.close()
        for name, printed in PRINTED.items():
            _print(address, name, printed)
    return 0


@contextmanager
def _demo() -> Iterator[str]:
    """The address of the demo household, while it is served."""
    command = (sys.executable, "-m", "coach.cli", "demo", "--port", "0", "--today", TODAY)
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout is not None
            found = re.search(r"http://\S+", server.stdout.readline())
            assert found is not None
            yield found[0]
        finally:
            server.terminate()


def _photograph(browser: Browser, address: str, name: str, width: int) -> None:
    scale = 1.5 if width == PHONE else 1
    page = browser.new_page(viewport={"width": width, "height": 800}, device_scale_factor=scale)
    page.goto(f"{address}{name}")
    page.evaluate("document.fonts.ready")
    # As tall as the page itself, so that the bar of a phone stands at its end.
    height = page.evaluate("document.documentElement.scrollHeight")
    page.set_viewport_size({"width": width, "height": height})
    page.screenshot(path=PICTURES / f"{name}.png")
    page.close()


def _print(address: str, name: str, page: str) -> None:
    """The first page of a PDF as a picture, in greys, as it comes out of a printer."""
    with urlopen(f"{address}{page}?format=pdf") as answer:  # noqa: S310  the demo's own address
        document = pypdfium2.PdfDocument(answer.read())
    picture = document[0].render(scale=1.4, grayscale=True).to_pil()
    picture.save(PICTURES / f"{name}.png", optimize=True)


if __name__ == "__main__":
    sys.exit(main())
