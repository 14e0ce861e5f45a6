"""A house before its start, and one that has started."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from web.house import House

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@pytest.fixture
def empty(tmp_path: Path) -> Iterator[House]:
    house = House(tmp_path)
    yield house
    house.close()


@pytest.fixture
def house(empty: House) -> House:
    empty.start()
    return empty
