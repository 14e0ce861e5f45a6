"""The guard: host names, other sites, headers, sizes, and no change by GET."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

import pytest
from fastapi.routing import iter_route_contexts

from web.house import House

if TYPE_CHECKING:
    from pathlib import Path

MARK = {"mark": "kept"}


@pytest.mark.parametrize("host", ["127.0.0.1:8420", "localhost", "LOCALHOST:9", "[::1]:8420"])
def test_loopback_names_are_answered(house: House, host: str) -> None:
    assert house.http.get("/api/today", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "host",
    [
        "tern-street.example",
        "127.0.0.1.example",
        "",
        "[::1].example",
        "localhost.",
        "[",
        "[x]",
        "[::1",
        "]",
        "@",
        "localhost@tern-street.example",
        "tern-street.example@localhost",
        "localhost:",
        "localhost:x",
        "localhost:\xb2",
        "localhost/",
        "localhost, localhost",
        "\xff",
    ],
)
def test_other_host_names_are_refused(house: House, host: str) -> None:
    headers = [(b"host", host.encode("latin-1"))]
    answer = house.http.get("/api/today", headers=headers)
    assert (answer.status_code, answer.json()["type"]) == (400, "/problems/host")
    assert house.http.get("/today", headers=headers).status_code == 400


def test_two_host_names_are_refused(house: House) -> None:
    two = [("host", "127.0.0.1:8420"), ("host", "tern-street.example")]
    assert house.http.get("/api/today", headers=two).status_code == 400


def test_a_host_name_can_be_allowed(tmp_path: Path) -> None:
    house = House(tmp_path, hosts=("tern-street.example",))
    assert house.http.get("/healthz", headers={"host": "tern-street.example"}).status_code == 200
    house.close()


def test_the_name_under_which_pages_are_found_from_outside_is_allowed(tmp_path: Path) -> None:
    house = House(tmp_path, public_url="https://tern-street.example:8443")
    found = {
        name: house.http.get("/healthz", headers={"host": name}).status_code
        for name in ("tern-street.example", "tern-street.example:8443", "other.example")
    }
    house.close()
    assert list(found.values()) == [200, 200, 400]


@pytest.mark.parametrize(
    "headers",
    [
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"sec-fetch-site": "cross-site", "origin": "http://127.0.0.1:8420"},
        {"origin": "http://elsewhere.example"},
        {"origin": "http://127.0.0.1:9999"},
        {"origin": "null"},
        {"origin": ""},
        {"origin": "http://["},
        {"origin": "http://[x]"},
        {"origin": "http://[::1"},
        {"origin": "http://127.0.0.1:eighty"},
        {"origin": "http://127.0.0.1:99999"},
        {"origin": "http://a@127.0.0.1:8420"},
        {"origin": "http://127.0.0.1:8420/today"},
        {"origin": "127.0.0.1:8420"},
        {"origin": "//127.0.0.1:8420"},
        {"origin": "https://127.0.0.1:8420"},
        {"origin": "ftp://127.0.0.1:8420"},
    ],
)
def test_another_site_cannot_change_anything(house: House, headers: dict[str, str]) -> None:
    for path in (f"/days/{house.today}/marks/bed-made", "/data/forget", "/today/return"):
        assert house.http.post(path, headers=headers, data=MARK).status_code == 403
    address = f"/api/days/{house.today}/marks/bed-made"
    assert house.http.put(address, json=MARK, headers=headers).status_code == 403
    assert house.day()["checklist"][0]["mark"] is None


@pytest.mark.parametrize(
    "headers",
    [{}, {"sec-fetch-site": "same-origin"}, {"sec-fetch-site": "none"}, {"origin": "http://127.0.0.1:8420"}],
)
def test_our_own_pages_and_programs_can(house: House, headers: dict[str, str]) -> None:
    answer = house.http.post(f"/days/{house.today}/marks/bed-made", data=MARK, headers=headers)
    assert answer.status_code == 303


def test_an_origin_on_the_usual_port_of_another_scheme_is_another_one(house: House) -> None:
    headers = {"host": "localhost"}
    for origin, status in (
        ("http://localhost", 303),
        ("http://localhost:80", 303),
        ("https://localhost", 403),
    ):
        path = f"/days/{house.today}/marks/bed-made"
        answer = house.http.post(path, data=MARK, headers=headers | {"origin": origin})
        assert answer.status_code == status, origin


def test_a_page_behind_tls_belongs_to_the_service_that_was_asked_over_tls(house: House) -> None:
    house.http.base_url = "https://127.0.0.1:8420"
    path = f"/days/{house.today}/marks/bed-made"
    for origin, status in (("https://127.0.0.1:8420", 303), ("http://127.0.0.1:8420", 403)):
        assert house.http.post(path, data=MARK, headers={"origin": origin}).status_code == status, origin


def test_two_origins_are_refused(house: House) -> None:
    two = [("origin", "http://127.0.0.1:8420"), ("origin", "http://elsewhere.example")]
    answer = house.http.post(f"/days/{house.today}/marks/bed-made", data=MARK, headers=two)
    assert answer.status_code == 403


def test_another_site_may_link_to_a_page(house: House) -> None:
    assert house.http.get("/today", headers={"sec-fetch-site": "cross-site"}).status_code == 200


@pytest.mark.parametrize(
    "path", ["/today", "/api/today", "/moon", "/api/moon", "/static/ground.css", "/start"]
)
def test_every_answer_carries_the_strict_headers(house: House, path: str) -> None:
    headers = house.http.get(path).headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"


def test_refusals_carry_them_too(house: House) -> None:
    headers = house.http.get("/today", headers={"host": "elsewhere.example"}).headers
    assert "default-src 'none'" in headers["content-security-policy"]


def test_pages_and_json_are_not_kept_by_the_browser(house: House) -> None:
    assert house.http.get("/today").headers["cache-control"] == "no-store"
    assert house.http.get("/api/today").headers["cache-control"] == "no-store"


def test_too_much_in_one_request_is_a_413(house: House) -> None:
    big = "x" * 100_000
    program = house.http.post("/api/steps", json={"title": big})
    assert (program.status_code, program.json()["type"]) == (413, "/problems/too-large")
    assert house.http.post("/new-step", data={"title": big}).status_code == 413


def test_a_large_request_without_a_length_is_stopped_too(house: House) -> None:
    chunks = (b"x" * 65536 for _ in range(300))
    headers = {"content-type": "text/csv"}
    assert house.http.post("/api/log.csv", content=chunks, headers=headers).status_code == 413


def test_a_log_may_be_larger_than_other_requests(house: House) -> None:
    rows = "".join("2027-01-04,kept,bed-made,\n" for _ in range(5000))
    csv = f"date,what,step,value\n2027-01-04,start,bed-made,\n{rows}"
    assert len(csv) > 65536
    answer = house.http.post("/api/log.csv", content=csv, headers={"content-type": "text/csv"})
    assert answer.status_code == 200


_SOME = defaultdict(lambda: "20270104-0001", step="bed-made", name="store", week="2027-W01")


def test_no_get_changes_anything(house: House) -> None:
    house.live(3)
    before = house.app.state.context.store.version("home")
    for route in iter_route_contexts(house.app.routes):
        path = getattr(route, "path", "")
        methods = getattr(route, "methods", None) or set()
        if "GET" in methods:
            # What takes slashes, too, is written `{secret:path}`.
            house.http.get(path.replace(":path", "").format_map(_SOME | {"date": house.today}))
    assert house.app.state.context.store.version("home") == before


def test_head_is_answered_for_pages_and_feeds_without_a_body(house: House) -> None:
    for path in ("/today", "/path", "/api/log.csv", "/healthz"):
        answer = house.http.head(path)
        assert (answer.status_code, answer.content) == (200, b"")
        assert answer.headers["content-type"] == house.http.get(path).headers["content-type"]


def test_markup_in_a_name_is_shown_as_text(house: House) -> None:
    house.http.patch("/api/steps/bed-made", json={"title": "<script>alert(1)</script>", "cue": "<b>x</b>"})
    for path in ("/today", "/path", "/steps/bed-made", "/new-step"):
        text = house.http.get(path).text
        assert "<script>alert" not in text
        assert "&lt;script&gt;" in text
