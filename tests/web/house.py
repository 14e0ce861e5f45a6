"""The real application on a temporary database, with a clock that a test can move."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from coach.settings import Settings
from web.asking import client_of
from web.ready import ready_app

if TYPE_CHECKING:
    from datetime import date
    from pathlib import Path

    from httpx2 import Response

NOON = datetime(2027, 1, 4, 12, tzinfo=UTC)
ADDRESS = "http://127.0.0.1:8420"


class House:
    """One home with its application.

    Attributes:
        now: The instant that the application takes for the present.
        file: The database.
        http: A client that does not follow redirects, as a program would ask.
    """

    def __init__(self, folder: Path, **settings: Any) -> None:  # noqa: ANN401  as Settings takes them
        self.now = NOON
        self.file = folder / "home.db"
        self.app = ready_app(Settings(database=f"sqlite:///{self.file}", **settings))
        self.app.state.context = replace(self.app.state.context, clock=lambda: self.now)
        self.http = client_of(self.app, base_url=ADDRESS)

    @property
    def today(self) -> date:
        """The date; the tests' households live by UTC."""
        return self.now.date()

    def sleep(self, days: int = 1) -> None:
        """Let days pass."""
        self.now += timedelta(days=days)

    def start(self, **choices: str) -> dict[str, Any]:
        """Begin, and give the first day."""
        answer = self.http.post("/api/start", json={"first": "bed-made", "zone": "UTC"} | choices)
        assert answer.status_code == 201, answer.text
        return dict(answer.json())

    def day(self) -> dict[str, Any]:
        """Today as JSON."""
        return dict(self.http.get("/api/today").json())

    def stands(self) -> dict[str, Any]:
        """The same but for the version, which counts what was written."""
        return {key: value for key, value in self.day().items() if key != "version"}

    def mark(self, step: str, mark: str = "kept", ago: int = 0) -> dict[str, Any]:
        """Mark a step, and give the day."""
        on = self.today - timedelta(days=ago)
        answer = self.http.put(f"/api/days/{on}/marks/{step}", json={"mark": mark})
        assert answer.status_code == 200, answer.text
        return dict(answer.json())

    def tap(self, step: str, mark: str, on: date | None = None) -> Response:
        """Mark a step as htmx does."""
        address = f"/days/{on or self.today}/marks/{step}"
        return self.http.post(address, data={"mark": mark}, headers={"hx-request": "true"})

    def live(self, days: int, mark: str = "kept") -> None:
        """Mark every line of so many days, from today on, and wake up on the day after."""
        for _ in range(days):
            for line in self.day()["checklist"]:
                self.mark(line["step"], mark)
            self.sleep()

    def close(self) -> None:
        """Let go of the database."""
        self.http.close()
        self.app.state.context.store.close()
