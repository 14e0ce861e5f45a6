"""Make `docs/pictures/today.png` anew from the real page: `python tests/docs/picture.py`; it needs chromium.

A household on its seventh day, at the width of a phone, with its first line just marked.
"""

from __future__ import annotations

import re
import subprocess
import sys
import tempfile
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from playwright.sync_api import sync_playwright

if TYPE_CHECKING:
    from collections.abc import Iterator

PICTURE = Path(__file__).parents[2] / "docs" / "pictures" / "today.png"
CHROMIUM = "/usr/bin/chromium"
FLAGS = ("--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run")
QUIET = ("--disable-background-networking", "--disable-component-update", "--disable-sync")
WIDTH, SCALE = 390, 1.5
TODAY = "2027-01-10"
LOG = """\
date,what,step,value
2027-01-04,zone,,Europe/Lisbon
2027-01-04,start,bed-made,standard
2027-01-04,kept,bed-made,
2027-01-05,kept,bed-made,
2027-01-06,kept,bed-made,
2027-01-07,kept,bed-made,
2027-01-07,kept,table-cleared,
2027-01-08,small,bed-made,
2027-01-08,kept,table-cleared,
2027-01-09,kept,bed-made,
2027-01-09,kept,table-cleared,
"""


def main() -> int:
    """Start a home, look at it, and keep what is seen."""
    with tempfile.TemporaryDirectory() as folder, _served(Path(folder)) as address:
        _photograph(address)
    return 0


@contextmanager
def _served(folder: Path) -> Iterator[str]:
    """The address of a home with that log, while it is served."""
    coach = (sys.executable, "-m", "coach.cli")
    database = ("--database", f"sqlite:///{folder / 'home.db'}", "--today", TODAY)
    log = folder / "log.csv"
    log.write_text(LOG, encoding="utf-8")
    subprocess.run((*coach, "import", str(log), *database), check=True, stdout=subprocess.DEVNULL)
    with subprocess.Popen(
        (*coach, "serve", "--port", "0", *database), stdout=subprocess.PIPE, text=True
    ) as server:
        try:
            assert server.stdout is not None
            found = re.search(r"http://\S+", server.stdout.readline())
            assert found is not None
            yield found[0]
        finally:
            server.terminate()


def _photograph(address: str) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=[*FLAGS, *QUIET])
        page = browser.new_page(viewport={"width": WIDTH, "height": 800}, device_scale_factor=SCALE)
        page.goto(f"{address}today")
        page.get_by_role("button", name="Make the bed: kept").click()
        page.get_by_role("button", name="Undo the mark of Make the bed").wait_for()
        page.mouse.move(0, 0)
        page.evaluate("document.activeElement.blur()")
        height = page.evaluate("document.documentElement.scrollHeight")
        page.set_viewport_size({"width": WIDTH, "height": height})
        page.screenshot(path=PICTURE)
        browser.close()


if __name__ == "__main__":
    sys.exit(main())
