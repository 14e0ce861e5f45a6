"""The rounds in which the service itself looks every minute: messages due, days closed, a week's forecast."""

from __future__ import annotations

import logging
import threading
from typing import TYPE_CHECKING

from coach.coaching.ahead import get_ready
from coach.coaching.following import Following
from coach.habits.forecast_weekly import WritingDown
from coach.limits import ROUND_SECONDS
from coach.messages.sending import send_due
from coach.web.events import raised
from coach.web.wrote import Wrote

if TYPE_CHECKING:
    from coach.ground.ports import Context
    from coach.messages.carriers import Carrier

log = logging.getLogger("coach.events")

MESSAGE, FOLLOWING, FORECAST = KINDS = ("message", "following", "forecast")
"""What may go wrong in a round, as the log calls it."""


class Rounds:
    """Looks again and again in a thread of its own, so that no request waits for what carries the messages.

    The thread is a daemon, so that the process ends at once; what it had claimed by then is not sent again.

    Args:
        context: Store, lessons and clock.
        carrier: Carries the letters.
        seconds: Between two rounds, and before the first.
        served: Set once a first page has been served; then, before the next round, what is slow to load is
            loaded ahead. None: nothing is.
        wrote: The households that have written something, whose week may want a forecast.
    """

    def __init__(
        self,
        context: Context,
        carrier: Carrier,
        seconds: float = ROUND_SECONDS,
        wrote: Wrote | None = None,
        served: threading.Event | None = None,
    ) -> None:
        self._context = context
        self._carrier = carrier
        self._seconds = seconds
        self._served = served
        self._ended = threading.Event()
        self._following = Following()
        self._wrote = wrote or Wrote()
        self._forecasts = WritingDown()
        self._looks = ((self._send, MESSAGE), (self._follow, FOLLOWING), (self._forecast, FORECAST))

    def begin(self) -> None:
        """Begin to look, with what carries made ready before anybody asks for a page."""
        try:
            self._carrier.prepare()
        except Exception as error:  # noqa: BLE001  logged, and tried again in the first round
            self._tell(error)
        threading.Thread(target=self._run, name="rounds", daemon=True).start()

    def end(self) -> None:
        """Look no more; what is on its way is not waited for."""
        self._ended.set()

    def _run(self) -> None:
        while not self._ended.wait(self._seconds):
            self._load_ahead()
            for look, kind in self._looks:
                try:
                    look()
                except Exception as error:  # noqa: BLE001  logged, and tried again
                    self._tell(error, kind)

    def _load_ahead(self) -> None:
        if self._served is not None and self._served.is_set():
            get_ready()
            self._served = None

    def _send(self) -> None:
        self._carrier.prepare()
        now = self._context.clock()
        for fault in send_due(self._context, self._carrier, now, self._goes_on).faults:
            self._tell(fault)

    def _follow(self) -> None:
        for fault in self._following.round(self._context, self._context.clock(), self._goes_on):
            self._tell(fault, FOLLOWING)

    def _forecast(self) -> None:
        for fault in self._forecasts.round(self._context, self._wrote.taken(), self._goes_on):
            self._tell(fault, FORECAST)

    def _goes_on(self) -> bool:
        return not self._ended.is_set()

    def _tell(self, error: Exception, kind: str = MESSAGE) -> None:
        """Log what went wrong, unless the store has been closed since the service is told to end."""
        if self._goes_on():
            log.error("%s: %s", kind, raised(error), extra={"kind": kind})
