"""Two devices with one code at the same moment: one is let in, on every store."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from threading import Barrier
from typing import TYPE_CHECKING

from coach.errors import WrongCode
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.household.codes import new_code
from coach.household.pairing import Pairing, pair

if TYPE_CHECKING:
    from coach.ground.ports import Store

NOON = datetime(2027, 1, 4, 12, tzinfo=UTC)
DEVICES = 4


def test_one_of_several_devices_with_one_code_is_let_in(store: Store) -> None:
    context = Context(store, None, lambda: NOON)  # type: ignore[arg-type]  # no lessons are asked for
    code = new_code(context, Caller("home", "keeper")).code
    together = Barrier(DEVICES)

    def come(number: int) -> bool:
        together.wait()
        try:
            pair(context, Caller("home", address=f"10.0.0.{number}"), Pairing(code, f"Person {number}"))
        except WrongCode:
            return False
        return True

    with ThreadPoolExecutor(DEVICES) as threads:
        assert sorted(threads.map(come, range(DEVICES))) == [False] * (DEVICES - 1) + [True]
    with store.people_reading() as reading:
        assert [len(reading.members("home")), len(reading.sessions("home"))] == [1, 1]
        assert [one.role for one in reading.members("home")] == ["keeper"]
