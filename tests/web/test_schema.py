"""The description of the JSON interface names every endpoint and what each can answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator

ENDPOINTS = {
    ("get", "/api/homes"),
    ("put", "/api/homes"),
    ("get", "/api/groups/{group}/stops"),
    ("get", "/api/groups/{group}/weeks"),
    ("get", "/api/groups/{group}/compare"),
    ("get", "/api/questions"),
    ("post", "/api/questions"),
    ("put", "/api/notes/{date}/away"),
    ("get", "/api/groups"),
    ("post", "/api/groups"),
    ("get", "/api/groups/{group}"),
    ("patch", "/api/groups/{group}"),
    ("get", "/api/groups/{group}/households"),
    ("get", "/api/groups/{group}/households/{household}"),
    ("get", "/api/groups/{group}/questions"),
    ("patch", "/api/groups/{group}/questions/{question}"),
    ("post", "/api/groups/{group}/answers"),
    ("put", "/api/groups/{group}/answers/{answer_id}"),
    ("get", "/api/groups/{group}/notes"),
    ("put", "/api/groups/{group}/notes/{date}"),
    ("delete", "/api/groups/{group}/notes/{date}"),
    ("post", "/api/start"),
    ("post", "/api/pairing"),
    ("post", "/api/pair"),
    ("get", "/api/today"),
    ("post", "/api/today/few"),
    ("delete", "/api/today/few"),
    ("get", "/api/days/{date}"),
    ("post", "/api/days/{date}/marks"),
    ("put", "/api/days/{date}/marks/{step}"),
    ("delete", "/api/days/{date}/marks/{step}"),
    ("put", "/api/days/{date}/taken/{step}"),
    ("delete", "/api/days/{date}/taken/{step}"),
    ("post", "/api/pause"),
    ("post", "/api/resume"),
    ("get", "/api/months/{month}"),
    ("get", "/api/path"),
    ("get", "/api/forecast"),
    ("get", "/api/forecast/what-if"),
    ("get", "/api/steps/{step}"),
    ("post", "/api/steps"),
    ("patch", "/api/steps/{step}"),
    ("post", "/api/steps/{step}/next"),
    ("post", "/api/steps/{step}/set-aside"),
    ("post", "/api/steps/{step}/restore"),
    ("get", "/api/week"),
    ("get", "/api/home"),
    ("get", "/api/sharing"),
    ("put", "/api/sharing"),
    ("delete", "/api/sharing"),
    ("get", "/api/week/{week}"),
    ("post", "/api/week/undo"),
    ("get", "/api/load"),
    ("get", "/api/balance"),
    ("post", "/api/balance"),
    ("get", "/api/available"),
    ("put", "/api/available"),
    ("get", "/api/jobs"),
    ("get", "/api/jobs/{step}"),
    ("post", "/api/jobs/{step}/move"),
    ("put", "/api/jobs/{step}/lines"),
    ("delete", "/api/jobs/{step}/lines"),
    ("put", "/api/jobs/{step}/ticks/{line}"),
    ("delete", "/api/jobs/{step}/ticks/{line}"),
    ("put", "/api/jobs/{step}/timer"),
    ("delete", "/api/jobs/{step}/timer"),
    ("get", "/api/dinners"),
    ("get", "/api/dinners/{date}"),
    ("put", "/api/dinners/{date}"),
    ("delete", "/api/dinners/{date}"),
    ("put", "/api/dinners/{date}/frozen/{number}"),
    ("get", "/api/favourites"),
    ("post", "/api/favourites"),
    ("get", "/api/favourites/{favourite}"),
    ("put", "/api/favourites/{favourite}"),
    ("delete", "/api/favourites/{favourite}"),
    ("get", "/api/shopping"),
    ("put", "/api/shopping"),
    ("post", "/api/shopping/lines"),
    ("get", "/api/shopping/lines/{line}"),
    ("put", "/api/shopping/lines/{line}"),
    ("delete", "/api/shopping/lines/{line}"),
    ("delete", "/api/shopping/ticked"),
    ("get", "/api/dues"),
    ("post", "/api/dues"),
    ("get", "/api/dues/{due}"),
    ("put", "/api/dues/{due}"),
    ("delete", "/api/dues/{due}"),
    ("put", "/api/dues/{due}/seen-to/{date}"),
    ("delete", "/api/dues/{due}/seen-to/{date}"),
    ("get", "/api/to-dos"),
    ("post", "/api/to-dos"),
    ("get", "/api/to-dos/{todo}"),
    ("patch", "/api/to-dos/{todo}"),
    ("delete", "/api/to-dos/{todo}"),
    ("put", "/api/to-dos/{todo}/done"),
    ("delete", "/api/to-dos/{todo}/done"),
    ("put", "/api/to-dos/{todo}/picked"),
    ("get", "/api/quick"),
    ("post", "/api/quick"),
    ("get", "/api/rooms"),
    ("post", "/api/areas/proposal"),
    ("post", "/api/areas/set-up"),
    ("post", "/api/areas/undo"),
    ("get", "/api/areas"),
    ("put", "/api/areas"),
    ("patch", "/api/areas"),
    ("post", "/api/areas"),
    ("get", "/api/areas/{area}"),
    ("patch", "/api/areas/{area}"),
    ("delete", "/api/areas/{area}"),
    ("post", "/api/areas/{area}/merge"),
    ("post", "/api/areas/{area}/split"),
    ("post", "/api/areas/{area}/rooms"),
    ("delete", "/api/areas/{area}/rooms"),
    ("post", "/api/areas/{area}/tasks"),
    ("patch", "/api/tasks/{task}"),
    ("delete", "/api/tasks/{task}"),
    ("post", "/api/tasks/{task}/add"),
    ("post", "/api/tasks/{task}/set-aside"),
    ("put", "/api/areas/{area}/sort-first"),
    ("get", "/api/tasks/{task}"),
    ("get", "/api/area-week"),
    ("put", "/api/days/{date}/tasks/{task}"),
    ("delete", "/api/days/{date}/tasks/{task}"),
    ("get", "/api/rotation"),
    ("post", "/api/rotation/skip"),
    ("post", "/api/rotation/swap"),
    ("post", "/api/rotation/give"),
    ("post", "/api/rotation/declutter"),
    ("get", "/api/pace"),
    ("put", "/api/pace"),
    ("get", "/api/log.csv"),
    ("post", "/api/log.csv"),
    ("post", "/api/pairing"),
    ("post", "/api/pair"),
    ("post", "/api/sign-out"),
    ("post", "/api/invitations"),
    ("post", "/api/enrol"),
    ("get", "/api/devices"),
    ("delete", "/api/devices/{device}"),
    ("get", "/api/tokens"),
    ("post", "/api/tokens"),
    ("delete", "/api/tokens/{token}"),
    ("get", "/api/reminder"),
    ("put", "/api/reminder"),
    ("delete", "/api/reminder"),
    ("get", "/api/passkeys"),
    ("post", "/api/passkeys"),
    ("post", "/api/passkeys/begin"),
    ("patch", "/api/passkeys/{passkey}"),
    ("delete", "/api/passkeys/{passkey}"),
    ("post", "/api/sign-in"),
    ("post", "/api/sign-in/begin"),
    ("post", "/api/sign-in/recovery"),
    ("post", "/api/recovery"),
    ("get", "/api/people"),
    ("patch", "/api/people/{person}"),
    ("delete", "/api/people/{person}"),
    ("get", "/api/feeds"),
    ("post", "/api/feeds"),
    ("patch", "/api/feeds/{feed}"),
    ("delete", "/api/feeds/{feed}"),
    ("post", "/api/feeds/{feed}/secret"),
    ("get", "/healthz"),
    ("get", "/api/sheet/{week}"),
    ("get", "/api/sheet/choices"),
    ("put", "/api/sheet/choices"),
    ("get", "/api/cards"),
    ("post", "/api/sheet/{week}/marks"),
    ("get", "/api/handover"),
    ("get", "/api/handover/order"),
    ("put", "/api/handover/order"),
    ("get", "/api/handover/pages"),
    ("post", "/api/handover/pages"),
    ("get", "/api/handover/pages/{page}"),
    ("put", "/api/handover/pages/{page}"),
    ("delete", "/api/handover/pages/{page}"),
    ("get", "/api/handover/starters"),
    ("get", "/api/courses"),
    ("post", "/api/courses"),
    ("get", "/api/groups/{group}/course"),
    ("get", "/api/groups/{group}/course.zip"),
    ("get", "/api/groups/{group}/changes"),
    ("get", "/api/groups/{group}/preview"),
    ("get", "/api/groups/{group}/pace"),
    ("post", "/api/groups/{group}/versions"),
    ("delete", "/api/groups/{group}/versions/{since}"),
}


@pytest.fixture(scope="module")
def lived_in(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """A house with some days behind it, shared by every test."""
    house = House(tmp_path_factory.mktemp("schema"))
    house.start()
    house.live(5)
    house.http.post("/api/areas/set-up", json={"rooms": ["Kitchen", "Bath", "Bedroom"]})
    yield house
    house.close()


def test_the_endpoints_are_those_of_the_design(lived_in: House) -> None:
    paths = lived_in.http.get("/openapi.json").json()["paths"]
    assert {(method, path) for path, methods in paths.items() for method in methods} == ENDPOINTS


def test_every_endpoint_is_described_and_documents_its_errors(lived_in: House) -> None:
    for path, methods in lived_in.http.get("/openapi.json").json()["paths"].items():
        for endpoint in methods.values():
            assert endpoint["description"]
            errors = {status: it for status, it in endpoint["responses"].items() if int(status) >= 400}
            assert errors
            if path == "/healthz":
                # What asks how the service is gets an answer of one shape, whatever that is.
                del errors["503"]
            assert all("application/problem+json" in it["content"] for it in errors.values())


def test_every_status_that_an_endpoint_can_answer_is_documented(lived_in: House) -> None:
    for path, methods in lived_in.http.get("/openapi.json").json()["paths"].items():
        for method, endpoint in methods.items():
            expected = {"400", "500", "503"}
            expected |= {"403"} if method != "get" else set()
            expected |= {"413", "422"} if "requestBody" in endpoint else set()
            assert expected <= set(endpoint["responses"]), (method, path)
