"""What somebody in the home network, or a web site that makes a browser there ask, cannot get past."""

from __future__ import annotations

from typing import TYPE_CHECKING
from urllib.parse import urlsplit

import pytest
from starlette.testclient import TestClient

from web.at_home import NETWORK
from web.attacked import COOKIE, SECURE, Attacked, cookie, is_unpaired, secret_of

if TYPE_CHECKING:
    from collections.abc import Iterator

    from httpx2 import Response


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Attacked]:
    """One house for all of these, which changes nothing."""
    house = Attacked(tmp_path_factory.mktemp("attacked"))
    yield house
    house.close()


# A web site's own name that points at the house (DNS rebinding), and names that only look like ours.
FOREIGN = (
    "tern-street.example",
    "192.168.50.1.tern-street.example",
    "steading.home.arpa.tern-street.example",
    "xsteading.local",
    "8.8.8.8",
    "[::ffff:8.8.8.8]",
    "[2001:db8::1]",
    "3232248321",
    "192.168.050.1",
    "0.0.0.0",  # noqa: S104  a name that is asked under, nothing is bound
    "192.168.50.1@tern-street.example",
    "192.168.50.1, tern-street.example",
)


@pytest.mark.parametrize("host", FOREIGN)
def test_a_site_whose_name_points_at_the_house_is_not_answered(home: Attacked, host: str) -> None:
    for one in (home.ana, home.http):
        answer = one.get("/api/today", headers={"host": host})
        assert (answer.status_code, answer.json()["type"]) == (400, "/problems/host")


CLAIMS = (
    {"x-forwarded-for": "127.0.0.1"},
    {"x-forwarded-for": "127.0.0.1, 127.0.0.1", "x-forwarded-host": "localhost"},
    {"forwarded": "for=127.0.0.1;host=127.0.0.1:8420;proto=http"},
    {"x-real-ip": "::1"},
    {"via": "1.1 127.0.0.1"},
    {"host": "127.0.0.1:8420"},
    {"host": "localhost", "x-forwarded-for": "127.0.0.1"},
    {"x-original-url": "/pair"},
    {"x-rewrite-url": "/pair"},
)


@pytest.mark.parametrize("headers", CLAIMS)
def test_nobody_in_the_network_is_the_machine_itself_by_saying_so(
    home: Attacked, headers: dict[str, str]
) -> None:
    assert is_unpaired(home.bare().get("/api/today", headers=headers))
    # The guard is asked first, and a page of the network is of another origin than the machine's name.
    assert home.bare().post("/api/pairing", headers=headers).status_code in {401, 403}


@pytest.mark.parametrize(
    "name",
    [
        "forwarded",
        "x-forwarded-for",
        "x-forwarded-proto",
        "X-Forwarded-Server",
        "x-real-ip",
        "via",
        "X-Client-IP",
        "CF-Connecting-IP",
    ],
)
def test_what_a_program_on_the_machine_passes_on_is_not_the_machine_itself(home: Attacked, name: str) -> None:
    assert is_unpaired(home.http.get("/api/today", headers={name: "127.0.0.1"}))


@pytest.mark.parametrize("host", ["192.168.50.1:8420", "steading.local", "steading.home.arpa"])
def test_the_machine_itself_has_no_more_rights_under_a_name_of_the_network(home: Attacked, host: str) -> None:
    # A page that a browser on this machine shows under such a name may be another one's by now.
    assert is_unpaired(home.http.get("/api/today", headers={"host": host}))


def test_the_cookie_of_one_scheme_is_none_under_the_other(home: Attacked) -> None:
    secret = secret_of(home.ana)
    assert home.bare().get("/api/today", headers=cookie(secret)).status_code == 200
    assert is_unpaired(home.bare().get("/api/today", headers=cookie(secret, name=SECURE)))
    secure = home.bare(base="https://192.168.50.1:8420")
    assert is_unpaired(secure.get("/api/today", headers=cookie(secret)))
    assert secure.get("/api/today", headers=cookie(secret, name=SECURE)).status_code == 200


def test_two_cookies_that_differ_let_nobody_in(home: Attacked) -> None:
    own, other = secret_of(home.ana), secret_of(home.ben)
    for first, second in ((own, other), (other, own), (own, "x"), ("x", own)):
        assert is_unpaired(home.bare().get("/api/today", headers=cookie(first, second)))
        lines = [("cookie", f"{COOKIE}={first}"), ("cookie", f"{COOKIE}={second}")]
        assert is_unpaired(home.bare().get("/api/today", headers=lines))
    assert home.bare().get("/api/today", headers=cookie(own, own)).status_code == 200


@pytest.mark.parametrize(
    "beside", ["a; {}", 'a="b; {}', "[]=1; {}", "{}; \xe9=\xff", "=; ;; {}", "a=b,c; {}"]
)
def test_what_others_put_beside_the_cookie_does_not_lock_anybody_out(home: Attacked, beside: str) -> None:
    line = beside.format(f"{COOKIE}={secret_of(home.ana)}").encode("latin-1")
    assert home.bare().get("/api/today", headers=[(b"cookie", line)]).status_code == 200


@pytest.mark.parametrize("name", ["cookie", "authorization"])
@pytest.mark.parametrize("size", [4096, 65536])
def test_what_is_far_too_long_lets_nobody_in_and_costs_nothing(home: Attacked, name: str, size: int) -> None:
    said = f"{COOKIE}=" if name == "cookie" else "Bearer "
    assert is_unpaired(home.bare().get("/api/today", headers={name: said + "x" * size}))


@pytest.mark.parametrize(
    "said",
    ["", "Bearer", "Bearer ", "Basic {}", "{}", "Bearer {}x", "Token {}", "Bearer\xa0{}", "Bearer {} {}"],
)
def test_a_header_that_names_no_token_of_ours_does_not_fall_back_on_the_cookie(
    home: Attacked, said: str
) -> None:
    secret = secret_of(home.ana)
    line = said.replace("{}", secret).encode("latin-1")
    headers = [(b"authorization", line), (b"cookie", f"{COOKIE}={secret}".encode())]
    assert is_unpaired(home.bare().get("/api/today", headers=headers))


@pytest.mark.parametrize("name", ["token", "access_token", "authorization", "steading", "session", "code"])
def test_a_token_or_a_code_in_the_address_is_not_looked_at(home: Attacked, name: str) -> None:
    assert is_unpaired(home.bare().get("/api/today", params={name: secret_of(home.ana)}))


def test_a_code_in_the_address_lets_nobody_in_and_is_not_used_up(home: Attacked) -> None:
    code = home.code()
    for query in ({"code": code, "name": "Ana"}, {"code": code, "name": "Ana", "device": "phone"}):
        for body in (None, {}, {"name": "Ana"}):
            assert home.bare().post("/api/pair", params=query, json=body).status_code == 422
        assert home.bare().get("/api/pair", params=query).status_code == 405
    assert home.bare().post("/api/pair", json={"code": code, "name": "Ana"}).status_code == 201


OVERRIDES = ("x-http-method-override", "x-http-method", "x-method-override")


@pytest.mark.parametrize("name", OVERRIDES)
def test_a_method_is_what_the_request_line_says(home: Attacked, name: str) -> None:
    mark = f"/api/days/{home.today}/marks/bed-made"
    for method in ("PUT", "DELETE", "POST"):
        headers, query = {name: method}, {"_method": method}
        assert home.ana.get("/api/today", headers=headers, params=query).status_code in {200, 422}
        assert home.ana.post(mark, headers=headers, json={"mark": "kept"}).status_code == 405
    assert home.ana.get("/api/today").json()["checklist"][0]["mark"] is None


def test_what_is_asked_for_another_household_is_unknown(home: Attacked) -> None:
    own = home.ana.get("/api/today").json()
    for names in (["other"], ["HOME"], ["home, other"], ["*"], ["../other"], ["home\xa0"], ["home", "other"]):
        headers = [(b"steading-household", name.encode("latin-1")) for name in names]
        for one in (home.ana, home.http):
            answer = one.get("/api/today", headers=headers)
            assert (answer.status_code, answer.json()["type"]) == (404, "/problems/unknown"), names
        assert is_unpaired(home.bare().get("/api/today", headers=headers))
    for name in ("home", ""):
        assert home.ana.get("/api/today", headers={"steading-household": name}).json() == own
    assert is_unpaired(home.bare().get("/api/today", headers={"steading-household": "home"}))


TRICKS = (
    "//api/today",
    "/api//today",
    "/api/../data",
    "/static/../data",
    "/static/..%2fdata",
    "/static/%2e%2e/data",
    "/static//data",
    "/static/..%5cdata",
    "/problems/../data",
    "/problems/..%2fapi%2ftoday",
    "/trust/../data",
    "/trust/..%2fsettings",
    "/pair/../data",
    "/pair/",
    "/pair;/data",
    "/pair%2f..%2fdata",
    "/api/pair/../today",
    "/API/today",
    "/Data",
    "/api/today/",
    "/api/today%00",
    "/api/today%2f",
    "/%61pi/today",
    "/.%2fapi/today",
    "/sw.js/../data",
    "/healthz/../data",
)


def _raw(client: TestClient, path: str) -> Response:
    """Ask under exactly this path, as a program does that does not tidy it up."""
    url = client.base_url.copy_with(raw_path=path.encode())
    return client.get(url)


@pytest.mark.parametrize("path", TRICKS)
def test_no_way_of_writing_a_path_gets_past_the_door(home: Attacked, path: str) -> None:
    answer = _raw(home.bare(), path)
    assert answer.status_code in {401, 404, 405} or _leads_nowhere(home, answer)
    assert "bed-made" not in answer.text
    assert "Delete everything" not in answer.text


def _leads_nowhere(home: Attacked, answer: Response) -> bool:
    """Whether an answer sends on to an address that is closed too."""
    if answer.status_code not in {303, 307, 308}:
        return False
    to = urlsplit(answer.headers["location"])
    return to.netloc in {"", "192.168.50.1:8420"} and home.bare().get(to.path).status_code in {200, 401}


def test_a_member_does_not_reach_keepers_pages_by_another_way_of_writing_them(home: Attacked) -> None:
    assert home.ben.get("/settings").status_code == 403
    for path in ("/settings%2f", "/settings/", "//settings", "/SETTINGS", "/data%2fforget", "/rescue/%2e"):
        answer = _raw(home.ben, path)
        assert answer.status_code in {403, 404, 405, 307}, path
        if answer.status_code == 307:
            assert home.ben.get(urlsplit(answer.headers["location"]).path).status_code == 403


FAR = ("8.8.8.8", "2001:db8::7", "::ffff:8.8.8.8", "", "100.64.0.1", "224.0.0.1")


@pytest.mark.parametrize("address", [*FAR, "192.168.50.9"])
def test_an_address_outside_the_home_network_is_refused_even_with_a_cookie(
    home: Attacked, address: str
) -> None:
    is_far = address in FAR
    phone = TestClient(home.app, base_url=NETWORK, client=(address, 50000))
    for path in ("/api/today", "/static/ground.css"):
        answer = phone.get(path, headers=cookie(secret_of(home.ana)))
        assert answer.status_code == (401 if is_far else 200)
