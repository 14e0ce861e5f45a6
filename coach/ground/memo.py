"""A small bounded memory of results, each good for one version of what it was computed from."""

from __future__ import annotations

from collections import OrderedDict
from threading import Lock
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable

CAPACITY = 256
Result = TypeVar("Result")


class Memo:
    """Keeps the latest result for each key together with the version it holds for.

    It is never asked about truth: the version comes from the store at every request, and a result of another
    version is computed anew.
    """

    def __init__(self, capacity: int = CAPACITY) -> None:
        self._capacity = capacity
        self._kept: OrderedDict[Hashable, tuple[Hashable, Any]] = OrderedDict()
        self._lock = Lock()

    def kept(self, key: Hashable, version: Hashable) -> Any | None:  # noqa: ANN401  whatever was kept
        """The kept result of that version; None if there is none."""
        with self._lock:
            of, result = self._kept.get(key, (None, None))
            if result is None or of != version:
                return None
            self._kept.move_to_end(key)
            return result

    def get(self, key: Hashable, version: Hashable, compute: Callable[[], Result]) -> Result:
        """The kept result of that version, or what `compute` gives, which is then kept if it is not None."""
        kept: Result | None = self.kept(key, version)
        if kept is not None:
            return kept
        result = compute()
        with self._lock:
            self._kept[key] = (version, result)
            self._kept.move_to_end(key)
            while len(self._kept) > self._capacity:
                self._kept.popitem(last=False)
        return result

    def forget(self) -> None:
        """Forget everything; the next results are computed anew."""
        with self._lock:
            self._kept.clear()
