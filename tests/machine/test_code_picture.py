from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from itertools import chain

import numpy as np
import pytest
import zxingcpp

from coach.errors import Malformed
from coach.machine.code_picture import LONGEST_LINK, page_picture, terminal_picture

LINKS = [
    "http://192.168.50.1:8420/pair#BCDFGHJK",
    "https://steading.home.arpa:8420/pair#ZXWVTSRQ",
    "https://steading.example/" + "a" * (LONGEST_LINK - 25),
]
SHADES = {" ": (255, 255), "▀": (0, 255), "▄": (255, 0), "█": (0, 0)}


def seen(pixels: list[list[int]]) -> str:
    """What an independent reader finds in a picture, each of whose pixels is drawn four wide."""
    picture = np.array(pixels, dtype=np.uint8).repeat(4, axis=0).repeat(4, axis=1)
    (found,) = zxingcpp.read_barcodes(picture)
    assert found.format == zxingcpp.BarcodeFormat.QRCode
    return str(found.text)


def pixels_of_text(text: str) -> list[list[int]]:
    lines = [re.sub(r"\x1b\[[\d;]*m", "", line) for line in text.splitlines()]
    halves = [[[SHADES[sign][half] for sign in line] for half in (0, 1)] for line in lines]
    return list(chain.from_iterable(halves))


def pixels_of_svg(svg: bytes) -> list[list[int]]:
    whole = ET.fromstring(svg)  # noqa: S314  our own
    side = int(whole.attrib["viewBox"].split()[2])
    pixels = [[255] * side for _ in range(side)]
    ink = next(one for one in whole.iter() if one.get("class") == "code-ink")
    for x, y, width in re.findall(r"M(\d+) (\d+)h(\d+)v1H\1z", ink.attrib["d"]):
        pixels[int(y)][int(x) : int(x) + int(width)] = [0] * int(width)
    return pixels


@pytest.mark.parametrize("link", LINKS)
def test_a_camera_reads_the_link_off_a_terminal(link: str) -> None:
    assert seen(pixels_of_text(terminal_picture(link))) == link


@pytest.mark.parametrize("link", LINKS)
def test_a_camera_reads_the_link_off_a_page(link: str) -> None:
    assert seen(pixels_of_svg(page_picture(link, "Scan this"))) == link


def test_a_terminal_shows_dark_on_light_whatever_its_colours_are_and_in_few_columns() -> None:
    lines = terminal_picture(LINKS[0]).splitlines()
    assert all(line.startswith("\x1b[38;5;16;48;5;231m") and line.endswith("\x1b[0m") for line in lines)
    assert len(lines) <= 24
    assert max(len(re.sub(r"\x1b\[[\d;]*m", "", line)) for line in lines) <= 40


def test_the_picture_of_a_page_is_small_and_keeps_to_its_policy() -> None:
    svg = page_picture(LINKS[0], "To <b>pair</b> & go").decode()
    assert len(svg) < 8000
    assert "style" not in svg
    assert "script" not in svg
    assert 'role="img"' in svg
    assert "<title>To &lt;b&gt;pair&lt;/b&gt; &amp; go</title>" in svg


@pytest.mark.parametrize("link", ["", "h" * (LONGEST_LINK + 1)])
def test_a_link_that_no_camera_would_read_is_refused(link: str) -> None:
    with pytest.raises(Malformed, match="1 to 300 letters"):
        page_picture(link, "Scan this")
