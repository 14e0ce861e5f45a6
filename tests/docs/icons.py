"""Make the icons of coach/web/static/icons anew from the gate: `python tests/docs/icons.py`.

It needs chromium.
"""

from __future__ import annotations

import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

STATIC = Path(__file__).parents[2] / "coach" / "web" / "static"
CHROMIUM = "/usr/bin/chromium"
FLAGS = ("--no-sandbox", "--disable-gpu", "--no-first-run")
ICONS = {
    "gate-180": (180, True),
    "gate-192": (192, False),
    "gate-512": (512, False),
    "gate-maskable-512": (512, True),
}
"""Each icon with its pixels, and whether its ground fills the square that a system cuts to its shape."""

SAFE = "translate(16 16) scale(.8) translate(-16 -16)"
"""What is drawn stays in the middle four fifths, which no shape cuts away."""


def main() -> int:
    """Draw each icon and keep what is seen."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        for name, (size, fills) in ICONS.items():
            page = browser.new_page(viewport={"width": size, "height": size})
            page.set_content(f'<body style="margin:0;background:none">{_drawn(size, fills=fills)}')
            page.screenshot(path=STATIC / "icons" / f"{name}.png", omit_background=True)
        browser.close()
    return 0


def _drawn(size: int, *, fills: bool) -> str:
    gate = (
        (STATIC / "gate.svg")
        .read_text()
        .replace('width="32" height="32"', f'width="{size}" height="{size}"', 1)
    )
    if not fills:
        return gate
    return gate.replace(' rx="7"', "").replace("<path ", f'<path transform="{SAFE}" ')


if __name__ == "__main__":
    sys.exit(main())
