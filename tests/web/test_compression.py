"""Answers are sent compressed to whoever reads that, and mean the same."""

from __future__ import annotations

import gzip
from typing import TYPE_CHECKING
from unittest.mock import patch

import pytest
from starlette.datastructures import Headers

from coach.web import compression, showing
from coach.web.compression import LEAST, packed, takes_gzip
from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator

PLAIN = {"accept-encoding": "identity"}
JSON_PROBLEM = "application/problem+json"


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """One house for all of them, which has started."""
    house = House(tmp_path_factory.mktemp("house"))
    house.start()
    yield house
    house.close()


def raw(house: House, path: str, **headers: str) -> tuple[Headers, bytes]:
    """What really is sent."""
    named = {name.replace("_", "-"): value for name, value in headers.items()}
    with house.http.stream("GET", path, headers=named) as answer:
        return Headers(dict(answer.headers)), b"".join(answer.iter_raw())


@pytest.mark.parametrize("path", ["/today", "/settings", "/api/today", "/api/path", "/api/openapi.json"])
def test_a_page_and_json_are_compressed_for_whoever_reads_it(house: House, path: str) -> None:
    address = "/openapi.json" if path == "/api/openapi.json" else path
    headers, body = raw(house, address, accept_encoding="gzip, br")
    assert headers["content-encoding"] == "gzip"
    assert headers["vary"] == "Accept-Encoding"
    assert int(headers["content-length"]) == len(body)
    plain, whole = raw(house, address, **{"accept-encoding": "identity"})
    assert "content-encoding" not in plain
    assert plain["vary"] == "Accept-Encoding"
    if "/settings" not in address:  # its forms carry names of their own
        assert gzip.decompress(body) == whole
    assert len(body) < len(whole) / 2


def test_what_is_short_is_sent_as_it_is(house: House) -> None:
    headers, body = raw(house, "/api/nowhere", accept_encoding="gzip")
    assert headers["content-type"] == JSON_PROBLEM
    assert len(body) < LEAST
    assert "content-encoding" not in headers


@pytest.mark.parametrize(
    ("said", "takes"),
    [
        ("gzip", True),
        ("br, gzip;q=0.5", True),
        ("GZIP; q=1.0", True),
        ("*", True),
        ("gzip;q=0", False),
        ("*, gzip; q=0.000", False),
        ("identity", False),
        ("br", False),
        ("", False),
    ],
)
def test_who_reads_gzip_is_told_by_the_header(house: House, said: str, *, takes: bool) -> None:
    assert takes_gzip(Headers({"accept-encoding": said})) is takes
    headers, _ = raw(house, "/today", accept_encoding=said)
    assert ("content-encoding" in headers) is takes


def test_a_page_that_is_kept_is_compressed_once(house: House) -> None:
    house.app.state.context.memo.forget()
    with patch.object(showing, "packed", wraps=packed) as compressed:
        pages = {raw(house, "/today", accept_encoding="gzip")[1] for _ in range(3)}
    assert len(pages) == 1
    assert compressed.call_count == 1


def test_a_page_that_is_kept_is_not_compressed_for_nobody(house: House) -> None:
    house.app.state.context.memo.forget()
    with patch.object(showing, "packed", wraps=packed) as compressed:
        raw(house, "/today", accept_encoding="identity")
    assert compressed.call_count == 0


@pytest.mark.parametrize("path", ["/today", "/settings", "/api/today"])
@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_nothing_is_compressed_for_a_page_of_another_origin(house: House, path: str, site: str) -> None:
    headers, _ = raw(house, path, accept_encoding="gzip", sec_fetch_site=site)
    assert "content-encoding" not in headers
    headers, _ = raw(house, path, accept_encoding="gzip", sec_fetch_site="same-origin")
    assert headers["content-encoding"] == "gzip"


@pytest.mark.parametrize("path", ["/today", "/settings", "/api/week"])
def test_head_says_what_get_says(house: House, path: str) -> None:
    get, head = (house.http.request(method, path) for method in ("GET", "HEAD"))
    assert head.content == b""
    assert head.headers["content-encoding"] == "gzip"
    assert set(head.headers.items()) - set(get.headers.items()) <= {
        ("content-length", head.headers["content-length"])
    }


def test_the_tag_of_a_compressed_answer_still_matches(house: House) -> None:
    small = house.http.get("/api/week")
    assert small.headers["content-encoding"] == "gzip"
    plain = house.http.get("/api/week", headers=PLAIN)
    assert small.headers["etag"] == plain.headers["etag"]
    change = {"minutes": {"SA": 30}}
    available = house.http.get("/api/available")
    seen = {"if-match": available.headers["etag"]}
    assert house.http.put("/api/available", json=change, headers=seen).status_code == 200
    assert (
        house.http.put("/api/available", json=change | {"minutes": {"SA": 40}}, headers=seen).status_code
        == 412
    )


def test_the_tag_of_a_step_whose_answer_is_compressed_still_matches(house: House) -> None:
    step = house.http.get("/api/steps/bed-made")
    assert step.headers["content-encoding"] == "gzip"
    seen = {"if-match": step.headers["etag"]}
    assert house.http.patch("/api/steps/bed-made", json={"minutes": 3}, headers=seen).status_code == 200
    assert house.http.patch("/api/steps/bed-made", json={"minutes": 4}, headers=seen).status_code == 412


def test_an_answer_to_a_tap_is_so_small_that_it_is_sent_as_it_is(house: House) -> None:
    answer = house.tap("bed-made", "kept")
    assert "content-encoding" not in answer.headers
    assert "Make the bed" in answer.text
    assert len(answer.content) < LEAST


def test_a_database_is_sent_with_its_length_and_a_log_compressed(house: House) -> None:
    house.live(20)
    backup, copy = raw(house, "/data/backup", accept_encoding="gzip")
    assert "content-encoding" not in backup
    assert int(backup["content-length"]) == len(copy)
    assert copy.startswith(b"SQLite format 3")
    log, _ = raw(house, "/api/log.csv", accept_encoding="gzip")
    assert log["content-encoding"] == "gzip"
    assert log["content-disposition"].startswith("attachment")


def test_the_same_bytes_give_the_same_bytes() -> None:
    body = b"Make the bed. " * 100
    assert packed(body) == packed(body)
    assert gzip.decompress(packed(body)) == body
    assert len(packed(body, compression.BEST)) <= len(packed(body))
