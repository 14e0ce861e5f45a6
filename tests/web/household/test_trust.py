"""`/trust`: the certificate for phones, in each form, and what stands there without one."""

from __future__ import annotations

import plistlib
import ssl
from typing import TYPE_CHECKING

import pytest

from web.at_home import HomeHouse, give_certificate

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

FILES = {
    "steading.crt": "application/x-x509-ca-cert",
    "steading.pem": "application/x-pem-file",
    "steading.mobileconfig": "application/x-apple-aspen-config",
}


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[HomeHouse]:
    folder: Path = tmp_path_factory.mktemp("trust")
    house = HomeHouse(folder)
    give_certificate(house, folder)
    yield house
    house.close()


def authority(home: HomeHouse) -> bytes:
    tls = home.app.state.network.tls
    der: bytes = tls.authority.der
    return der


def test_whoever_is_not_paired_reads_the_fingerprint_and_where_to_go(home: HomeHouse) -> None:
    answer = home.phone().get("/trust")
    assert answer.status_code == 200
    for line in home.app.state.network.tls.authority.fingerprint:
        assert line in answer.text
    for address in ("https://steading.local:8443/pair", "https://192.168.50.1:8443/pair", 'href="/pair"'):
        assert address in answer.text


def test_each_form_is_the_same_certificate(home: HomeHouse) -> None:
    phone = home.phone()
    given = {name: phone.get(f"/trust/{name}") for name in FILES}
    assert {name: answer.headers["content-type"] for name, answer in given.items()} == FILES
    assert given["steading.crt"].content == authority(home)
    assert ssl.PEM_cert_to_DER_cert(given["steading.pem"].text) == authority(home)
    profile = plistlib.loads(given["steading.mobileconfig"].content)
    [root] = profile["PayloadContent"]
    assert (root["PayloadType"], root["PayloadContent"]) == ("com.apple.security.root", authority(home))
    assert phone.get("/trust/steading.mobileconfig").content == given["steading.mobileconfig"].content


def test_no_key_is_given_to_anybody(home: HomeHouse) -> None:
    for name in FILES:
        assert b"PRIVATE KEY" not in home.phone().get(f"/trust/{name}").content


def test_by_https_it_says_that_all_is_done(home: HomeHouse) -> None:
    assert "This page came by https" not in home.phone().get("/trust").text
    secure = home.phone(base="https://192.168.50.1:8443")
    assert "This page came by https" in secure.get("/trust").text


@pytest.mark.parametrize("path", ["/trust", *(f"/trust/{name}" for name in FILES)])
def test_without_a_certificate_it_says_how_to_have_one(tmp_path: Path, path: str) -> None:
    house = HomeHouse(tmp_path)
    answer = house.phone().get(path)
    house.close()
    assert answer.status_code == 404
    assert "coach serve --home --tls" in answer.text


def test_the_machines_page_of_devices_shows_the_lines_and_a_code_that_leads_here_first(
    home: HomeHouse,
) -> None:
    page = home.http.post("/devices/code", data={"whose": "anyone"}).text
    for line in home.app.state.network.tls.authority.fingerprint:
        assert line in page
    assert "http://192.168.50.1:8420" in page
    link = home.http.post("/api/pairing", json={}).json()["link"]
    assert link.startswith("http://192.168.50.1:8420/pair#")
