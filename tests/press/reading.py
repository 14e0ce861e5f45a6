"""What a PDF says of itself, as others read it: pages, sizes of type, faces, words."""

from __future__ import annotations

from io import BytesIO
from itertools import pairwise
from typing import TYPE_CHECKING, Any

import pdfplumber
import pypdf
from page import validate_pdf

if TYPE_CHECKING:
    from pathlib import Path

EDGE = 7 / 25.4 * 72
"""Points: what printers can print and a sheet leaves white at the very least."""


def pages(pdf: bytes) -> int:
    """How many pages there are."""
    return len(pypdf.PdfReader(BytesIO(pdf)).pages)


def set_well(pdf: bytes, least: float) -> list[str]:
    """The letters that are smaller than so many points, or stand too near an edge of their page."""
    with pdfplumber.open(BytesIO(pdf)) as document:
        return [
            letter["text"]
            for page in document.pages
            for letter in page.chars
            if letter["size"] < least - 0.01 or not _within(letter, float(page.width), float(page.height))
        ]


def _within(letter: dict[str, Any], width: float, height: float) -> bool:
    across = letter["x0"] >= EDGE and letter["x1"] <= width - EDGE
    return bool(across and letter["top"] >= EDGE and letter["bottom"] <= height - EDGE)


def lines_drawn(pdf: bytes) -> list[float]:
    """The widths in millimetres of all lines that lie across, in their order."""
    with pdfplumber.open(BytesIO(pdf)) as document:
        drawn = [one for page in document.pages for one in (*page.lines, *page.rects, *page.curves)]
    return [one["width"] / 72 * 25.4 for one in drawn if one["height"] < 1 < one["width"]]


def least_between_boxes(pdf: bytes) -> float:
    """Millimetres from one day's column of boxes to the next, where they stand nearest to each other."""
    with pdfplumber.open(BytesIO(pdf)) as document:
        page = document.pages[0]
        drawn = [*page.rects, *page.curves]
    rows: dict[int, list[float]] = {}
    for one in drawn:
        if 7 < one["width"] < 15 and 7 < one["height"] < 15:
            rows.setdefault(round(one["top"]), []).append(one["x0"])
    starts = [sorted(row) for row in rows.values() if len(row) >= 7]
    return min(right - left for row in starts for left, right in pairwise(row)) / 72 * 25.4


def text(pdf: bytes) -> str:
    """Everything it says, without spaces and line ends, which a layout decides."""
    reader = pypdf.PdfReader(BytesIO(pdf))
    return "".join("".join(page.extract_text().split()) for page in reader.pages)


def size_of_first_page(pdf: bytes) -> tuple[float, float]:
    """Width and height in millimetres."""
    box = pypdf.PdfReader(BytesIO(pdf)).pages[0].mediabox
    return round(float(box.width) / 72 * 25.4, 1), round(float(box.height) / 72 * 25.4, 1)


def faces_that_are_not_inside(pdf: bytes) -> list[str]:
    """The names of faces that a reader would have to look for on its own machine."""
    reader = pypdf.PdfReader(BytesIO(pdf))
    found: dict[str, bool] = {}
    for page in reader.pages:
        resources: Any = page["/Resources"]
        for font in resources.get("/Font", {}).values():
            for one in _descended(font.get_object()):
                found[str(one["/BaseFont"])] = bool(
                    {"/FontFile", "/FontFile2", "/FontFile3"} & set(one.get("/FontDescriptor", {}))
                )
    assert found
    return [name for name, inside in found.items() if not inside]


def _descended(font: Any) -> list[Any]:  # noqa: ANN401  an object of PDF
    return [one.get_object() for one in font.get("/DescendantFonts", [font])]


def faults(pdf: bytes, folder: Path) -> list[str]:
    """Which rules of PDF/UA-1 it breaks."""
    path = folder / "one.pdf"
    path.write_bytes(pdf)
    report = validate_pdf(str(path), profile="ua1")
    return [] if report.is_compliant else [str(failure) for failure in report.failures] or ["not compliant"]


def said_instead(pdf: bytes) -> set[str]:
    """What is read out where a drawing stands."""
    reader = pypdf.PdfReader(BytesIO(pdf))
    count: Any = reader.trailer["/Size"]
    known: list[Any] = [reader.get_object(number) for number in range(1, int(count))]
    return {str(one["/Alt"]) for one in known if isinstance(one, dict) and "/Alt" in one}


def about(pdf: bytes) -> tuple[str, str]:
    """Title and language."""
    reader = pypdf.PdfReader(BytesIO(pdf))
    assert reader.metadata is not None
    return str(reader.metadata.title), str(reader.trailer["/Root"]["/Lang"])  # type: ignore[index]  # the same
