"""One authority for the tests that only look at it."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from machine.places import household

if TYPE_CHECKING:
    from coach.machine.authority import Authority


@pytest.fixture(scope="session")
def home(tmp_path_factory: pytest.TempPathFactory) -> Authority:
    """A household's authority; whoever changes its folder takes a copy."""
    return household(tmp_path_factory.mktemp("home"))
