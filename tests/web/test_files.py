"""Static files: all of our own, kept by digest, each borrowed one beside its licence."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from coach.web.rendering import STATIC, environment, static
from web.markup import read

if TYPE_CHECKING:
    from web.house import House

ELSEWHERE = re.compile(r"""(?:src|href|url\()\s*=?\s*["'(]*\s*(?:https?:)?//""")


def test_a_file_asked_for_with_its_digest_is_kept_for_good(house: House) -> None:
    answer = house.http.get(static("ground.css"))
    assert answer.headers["cache-control"] == "public, max-age=31536000, immutable"


def test_a_file_asked_for_without_is_asked_about_again(house: House) -> None:
    answer = house.http.get("/static/ground.css")
    assert answer.headers["cache-control"] == "no-cache"
    again = house.http.get("/static/ground.css", headers={"if-none-match": answer.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize("path", ["../rendering.py", "%2e%2e/rendering.py", "nothing.css", ""])
def test_nothing_outside_the_folder_is_served(house: House, path: str) -> None:
    assert house.http.get(f"/static/{path}").status_code == 404


def test_pages_load_nothing_from_elsewhere(house: House) -> None:
    for path in ("/today", "/path", "/steps/bed-made", "/data"):
        assert not ELSEWHERE.search(house.http.get(path).text)
    for file in (*STATIC.glob("*.css"), *STATIC.glob("*.js")):
        assert not ELSEWHERE.search(file.read_text())


def test_every_file_a_page_names_is_there(house: House) -> None:
    page = read(house.http.get("/today").text)
    named = [link.attributes["href"] for link in page.every("link")]
    named += [script.attributes["src"] for script in page.every("script")]
    named += [
        f"/static/{url}" for url in re.findall(r'url\("([^"]+)"\)', (STATIC / "ground.css").read_text())
    ]
    assert len(named) >= 7
    for address in named:
        assert house.http.get(address).status_code == 200, address


def test_borrowed_files_stand_beside_their_licences() -> None:
    assert "Zero-Clause BSD" in (STATIC / "vendor" / "htmx.LICENSE.txt").read_text()
    assert "SIL OPEN FONT LICENSE" in (STATIC / "fonts" / "OFL.txt").read_text()
    version = re.search(r'version="([\d.]+)"', (STATIC / "vendor" / "htmx-4.0.1.min.js").read_text())
    assert version
    assert version[1] == "4.0.1"


def test_every_template_escapes_svg_ones_too() -> None:
    env = environment()
    assert env.autoescape is True
    names = env.list_templates(extensions=["html", "svg"])
    assert {env.get_template(name).environment.autoescape for name in names} == {True}
    assert env.from_string("{{ name }}").render(name="<b>") == "&lt;b&gt;"
