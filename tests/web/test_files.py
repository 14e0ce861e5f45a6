"""Static files: all of our own, kept by digest, each borrowed one beside its licence."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from coach.web.files import packed_file
from coach.web.rendering import STATIC, environment, static
from web.house import House
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator

ELSEWHERE = re.compile(r"""(?:src|href|url\()\s*=?\s*["'(]*\s*(?:https?:)?//""")


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """One house for all of them, which has started."""
    house = House(tmp_path_factory.mktemp("house"))
    house.start()
    yield house
    house.close()


def test_a_file_asked_for_with_its_digest_is_kept_for_good(house: House) -> None:
    answer = house.http.get(static("ground.css"))
    assert answer.headers["cache-control"] == "public, max-age=31536000, immutable"


def test_a_file_asked_for_without_is_asked_about_again(house: House) -> None:
    answer = house.http.get("/static/ground.css")
    assert answer.headers["cache-control"] == "no-cache"
    again = house.http.get("/static/ground.css", headers={"if-none-match": answer.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")


@pytest.mark.parametrize("name", ["ground.css", "steading.js", "gate.svg", "vendor/htmx-4.0.1.min.js"])
def test_a_text_is_sent_compressed_with_its_own_tag(house: House, name: str) -> None:
    plain = house.http.get(static(name), headers={"accept-encoding": "identity"})
    small = house.http.get(static(name))
    assert small.content == plain.content == (STATIC / name).read_bytes()
    assert "content-encoding" not in plain.headers
    assert small.headers["content-encoding"] == "gzip"
    assert int(small.headers["content-length"]) < len(plain.content)
    assert small.headers["etag"] != plain.headers["etag"]
    assert small.headers["vary"] == plain.headers["vary"] == "Accept-Encoding"
    assert small.headers["content-type"] == plain.headers["content-type"]
    assert small.headers["cache-control"] == "public, max-age=31536000, immutable"


def test_a_text_is_compressed_once(house: House) -> None:
    packed_file.cache_clear()
    for _ in range(3):
        house.http.get("/static/ground.css")
    assert packed_file.cache_info().misses == 1


def test_a_font_is_compressed_in_itself_and_sent_as_it_is(house: House) -> None:
    font = next((STATIC / "fonts").glob("*.woff2"))
    answer = house.http.get(f"/static/fonts/{font.name}")
    assert answer.content == font.read_bytes()
    assert not {"content-encoding", "vary"} & set(answer.headers)


def test_what_is_asked_about_again_is_told_by_the_tag_of_what_was_sent(house: House) -> None:
    small = house.http.get("/static/ground.css")
    asked = {"if-none-match": small.headers["etag"]}
    again = house.http.get("/static/ground.css", headers=asked)
    assert (again.status_code, again.content) == (304, b"")
    assert again.headers["vary"] == "Accept-Encoding"
    assert again.headers["etag"] == small.headers["etag"]
    plain = house.http.get("/static/ground.css", headers=asked | {"accept-encoding": "identity"})
    assert plain.status_code == 200


def test_a_part_of_a_text_is_a_part_of_its_own_bytes(house: House) -> None:
    part = house.http.get("/static/ground.css", headers={"range": "bytes=3-12"})
    assert (part.status_code, part.content) == (206, (STATIC / "ground.css").read_bytes()[3:13])
    assert "content-encoding" not in part.headers
    small = house.http.get("/static/ground.css")
    changed = {"range": "bytes=3-12", "if-range": small.headers["etag"]}
    whole = house.http.get("/static/ground.css", headers=changed)
    assert (whole.status_code, whole.content) == (200, small.content)
    assert "content-encoding" not in whole.headers


def test_head_of_a_text_says_what_get_says(house: House) -> None:
    get, head = (house.http.request(method, static("ground.css")) for method in ("GET", "HEAD"))
    assert head.content == b""
    assert head.headers == get.headers


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
