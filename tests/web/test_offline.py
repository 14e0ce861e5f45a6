"""What the service gives for days without network: the worker, the page in today's place, the manifest."""

from __future__ import annotations

import json
import re
import struct
from typing import TYPE_CHECKING

import pytest

from coach.errors import Malformed
from coach.settings import read_settings
from coach.web import offline
from coach.web.rendering import STATIC, colour
from web.at_home import HomeHouse
from web.house import House
from web.markup import read

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    house = House(tmp_path_factory.mktemp("house"))
    house.start()
    yield house
    house.close()


def lasting(text: str) -> dict[str, object]:
    """What a worker says that it keeps."""
    return dict(json.loads(text.splitlines()[0].removeprefix("const LASTING = ").removesuffix(";")))


def test_the_worker_is_asked_for_anew_and_stands_above_every_page(house: House) -> None:
    answer = house.http.get("/sw.js")
    assert answer.headers["content-type"].startswith("text/javascript")
    assert answer.headers["cache-control"] == "no-cache"
    again = house.http.get("/sw.js", headers={"if-none-match": answer.headers["etag"]})
    assert (again.status_code, again.content) == (304, b"")


def test_all_that_today_and_the_page_in_its_place_ask_for_is_on_the_workers_list(house: House) -> None:
    listed = lasting(house.http.get("/sw.js").text)["files"]
    assert isinstance(listed, list)
    for path in ("/today", offline.SHELL):
        page = read(house.http.get(path).text)
        links = [link.attributes for link in page.every("link")]
        named = [link["href"] for link in links if link["rel"] not in {"manifest", "apple-touch-icon"}]
        named += [script.attributes["src"] for script in page.every("script")]
        assert len(named) >= 7
        assert set(named) <= set(listed), path
    assert all(house.http.get(address).status_code == 200 for address in listed)


def test_what_is_kept_is_named_by_what_is_in_it(monkeypatch: pytest.MonkeyPatch) -> None:
    now = lasting(offline.worker(wanted=True).decode())["cache"]
    for function in (offline.files, offline.worker):
        function.cache_clear()
    monkeypatch.setattr(offline, "SHEETS", offline.SHEETS[:-1])
    try:
        assert lasting(offline.worker(wanted=True).decode())["cache"] != now
    finally:
        for function in (offline.files, offline.worker):
            function.cache_clear()


def test_switched_off_the_worker_is_one_that_goes_and_no_list_is_kept(tmp_path: Path) -> None:
    house = House(tmp_path, offline="off")
    house.start()
    worker = house.http.get("/sw.js").text
    assert "unregister()" in worker
    assert "LASTING" not in worker
    assert "data-keep" not in house.http.get("/today").text
    house.close()


def test_a_setting_that_is_neither_on_nor_off_is_refused() -> None:
    with pytest.raises(Malformed, match="It has to be on or off"):
        read_settings(offline="maybe")


def test_only_todays_own_list_is_kept(house: House) -> None:
    assert 'data-keep="yes"' in house.http.get("/today").text
    house.sleep()
    assert "data-keep" not in house.http.get("/days/2027-01-04").text


def test_who_was_not_let_in_gets_the_worker_the_manifest_and_an_empty_page(tmp_path: Path) -> None:
    home = HomeHouse(tmp_path)
    home.start()
    phone = home.phone()
    for path in ("/sw.js", offline.SHELL, "/manifest.webmanifest"):
        assert phone.get(path).status_code == 200, path
    assert phone.get(offline.SHELL).content == home.http.get(offline.SHELL).content
    assert home.day()["checklist"][0]["title"] not in phone.get(offline.SHELL).text
    home.close()


def test_the_manifest_has_what_a_home_screen_asks_for(house: House) -> None:
    address = next(
        link.attributes["href"]
        for link in read(house.http.get("/today").text).every("link")
        if link.attributes["rel"] == "manifest"
    )
    answer = house.http.get(address)
    assert answer.headers["content-type"] == "application/manifest+json"
    assert "immutable" in answer.headers["cache-control"]
    said = answer.json()
    assert (said["id"], said["start_url"], said["scope"]) == ("/today", "/today", "/")
    assert (said["name"], said["display"]) == ("Steading", "standalone")
    assert {(icon["sizes"], icon["purpose"]) for icon in said["icons"]} == {
        ("192x192", "any"),
        ("512x512", "any"),
        ("512x512", "maskable"),
    }
    for icon in said["icons"]:
        picture = house.http.get(icon["src"])
        width, height = struct.unpack(">II", picture.content[16:24])
        assert f"{width}x{height}" == icon["sizes"]
        assert len(picture.content) < 16_000


def test_the_browser_is_coloured_by_day_and_by_night() -> None:
    assert colour("paper") != colour("paper", dark=True)
    with pytest.raises(LookupError):
        colour("no-such")


def test_no_two_scripts_call_something_the_same() -> None:
    names: dict[str, str] = {}
    declared = re.compile(r"^(?:async )?(?:function|const|let|class) (\w+)", re.MULTILINE)
    beside = {"kept.js", "unsent.js", "steading.js"}  # on every page
    for script in sorted(STATIC.glob("*.js"), key=lambda file: file.name not in beside):
        if script.name.startswith("worker"):
            continue
        for name in declared.findall(script.read_text()):
            # Scripts of two different pages never meet.
            assert names.get(name) not in beside, (name, script.name, names.get(name))
            names[name] = script.name
