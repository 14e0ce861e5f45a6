"""OWASP ASVS 5.0.0 V3, what browsers are told; docs/security.md says which requirement each test shows."""

from __future__ import annotations

import re
from http.cookies import SimpleCookie
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from starlette.testclient import TestClient

import coach
from web.attacked import SECURE, Attacked, secret_of

if TYPE_CHECKING:
    from collections.abc import Iterator
    from http.cookies import Morsel

    from httpx2 import Response

CODE = Path(coach.__file__).parent
STATIC = CODE / "web" / "static"
SCRIPTS = sorted(STATIC.glob("*.js"))
TEMPLATES = sorted((CODE / "web" / "templates").rglob("*.html"))


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Attacked]:
    house = Attacked(tmp_path_factory.mktemp("front"))
    yield house
    house.close()


def _paired(home: Attacked, base: str) -> Response:
    phone = TestClient(home.app, base_url=base, client=("192.168.50.20", 50000), headers={"origin": base})
    answer = phone.post("/api/pair", json={"code": home.code(), "name": "Ben", "device": "tablet"})
    assert answer.status_code == 201
    return answer


def _cookie(answer: Response) -> Morsel[str]:
    (line,) = answer.headers.get_list("set-cookie")
    (cookie,) = SimpleCookie(line).values()
    return cookie


def test_over_tls_the_cookie_is_for_this_host_alone_and_never_sent_in_the_clear(home: Attacked) -> None:
    cookie = _cookie(_paired(home, "https://192.168.50.1:8420"))
    assert cookie.key == SECURE
    assert (cookie["secure"], cookie["path"], cookie["domain"]) == (True, "/", "")


@pytest.mark.parametrize("scheme", ["http", "https"])
def test_the_cookie_is_not_for_scripts_and_not_for_other_sites_forms(home: Attacked, scheme: str) -> None:
    answer = _paired(home, f"{scheme}://192.168.50.1:8420")
    cookie = _cookie(answer)
    assert (cookie["httponly"], cookie["samesite"]) == (True, "lax")
    assert cookie.value not in answer.text


def test_what_a_phone_shows_stands_in_no_answer(home: Attacked) -> None:
    secret = secret_of(home.ana)
    for path in ("/today", "/api/today", "/data", "/settings", "/path", "/api/log.csv", "/moon", "/api/moon"):
        answer = home.ana.get(path)
        assert secret not in answer.text
        assert secret not in str(answer.headers)


EVERYWHERE = ("/today", "/api/today", "/moon", "/static/ground.css", "/pair", "/api/log.csv", "/healthz")


@pytest.mark.parametrize("path", EVERYWHERE)
@pytest.mark.parametrize("who", ["nobody", "member", "keeper"])
def test_every_answer_tells_the_browser_what_it_may_not_do_with_it(
    home: Attacked, path: str, who: str
) -> None:
    browser = {"nobody": home.bare(), "member": home.ben, "keeper": home.ana}[who]
    headers = browser.get(path).headers
    (policy,) = headers.get_list("content-security-policy")
    said = dict(part.strip().partition(" ")[::2] for part in policy.split(";"))
    nothing = ("default-src", "object-src", "base-uri", "frame-ancestors")
    assert [said[name] for name in nothing] == ["'none'"] * len(nothing)
    assert set(said.values()) <= {"'none'", "'self'"}
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"
    assert headers["cross-origin-resource-policy"] == "same-origin"
    assert headers["cross-origin-opener-policy"] == "same-origin"


@pytest.mark.parametrize("origin", ["http://elsewhere.example", "null", "http://192.168.50.1:8420"])
def test_no_other_origin_may_read_an_answer(home: Attacked, origin: str) -> None:
    headers = {"origin": origin, "access-control-request-method": "PUT"}
    for path in EVERYWHERE:
        for method in ("GET", "OPTIONS"):
            answer = home.ana.request(method, path, headers=headers)
            assert not [name for name in answer.headers if name.startswith("access-control")]


@pytest.mark.parametrize("path", ["/api/log.csv", "/data/backup"])
def test_what_is_downloaded_is_a_file_and_no_page(home: Attacked, path: str) -> None:
    answer = home.ana.get(path)
    assert answer.status_code == 200
    assert answer.headers["content-disposition"].startswith("attachment")
    assert not answer.headers["content-type"].startswith("text/html")


def test_json_and_errors_of_programs_are_never_html(home: Attacked) -> None:
    markup = "<script>alert(1)</script>"
    for answer in (
        home.ana.get("/api/today"),
        home.ana.get(f"/api/days/{markup}"),
        home.bare().get("/api/x"),
    ):
        assert "html" not in answer.headers["content-type"]


TO_HTML = re.compile(
    r"\.(innerHTML|outerHTML|insertAdjacentHTML|createContextualFragment|setHTMLUnsafe)\b"
    r"|document\.write|\beval\(|new Function\("
)


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda script: script.name)
def test_our_scripts_put_text_in_as_text(script: Path) -> None:
    assert not TO_HTML.search(script.read_text(encoding="utf-8"))


@pytest.mark.parametrize("script", SCRIPTS, ids=lambda script: script.name)
def test_no_page_of_ours_listens_to_messages_of_other_windows(script: Path) -> None:
    text = script.read_text(encoding="utf-8")
    listened = re.findall(r"(\S*)addEventListener\(\s*[\"']message[\"'], (\S+)", text)
    # What the page's own worker says only has it look anew, whatever it says.
    assert set(listened) <= {("navigator.serviceWorker?.", "()")}
    assert "onmessage" not in text


@pytest.mark.parametrize("template", TEMPLATES, ids=lambda template: template.name)
def test_pages_hold_no_plug_ins_and_no_frames(template: Path) -> None:
    found = re.search(r"<(object|embed|applet|iframe|frame|portal)\b", template.read_text(encoding="utf-8"))
    assert found is None


ELSEWHERE = (
    "//elsewhere.example",
    "http://elsewhere.example",
    "/\\elsewhere.example",
    "today@elsewhere.example",
)


@pytest.mark.parametrize("to", ELSEWHERE)
def test_a_form_leads_back_to_our_own_pages_alone(home: Attacked, to: str) -> None:
    forms = {
        f"/days/{home.today}/marks/bed-made": {"mark": "kept", "back": to},
        "/desk/to-dos": {"titles": "Call", "back": to},
        "/quick": {"line": "Call the plumber", "back": to, "kind": "to-do"},
        "/steps/bed-made/next": {"back": to},
        "/today/few": {"back": to},
    }
    for path, fields in forms.items():
        answer = home.ana.post(path, data=fields)
        assert re.match(OURS, answer.headers.get("location", "/")), (path, answer.headers)


OURS = r"(http://192\.168\.50\.1:8420)?/(?![/\\])"


@pytest.mark.parametrize("path", [f"/{to}" for to in ELSEWHERE] + [f"{to}/today/" for to in ELSEWHERE[:1]])
def test_an_address_leads_to_our_own_pages_alone(home: Attacked, path: str) -> None:
    answer = home.ana.get(
        f"http://192.168.50.1:8420{path}", params={"back": ELSEWHERE[0], "to": ELSEWHERE[0]}
    )
    assert re.match(OURS, answer.headers.get("location", "/")), answer.headers
