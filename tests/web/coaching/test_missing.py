"""What a group's pages say where a database could not be asked."""

from __future__ import annotations

import pytest

from coach.web.rendering import environment


@pytest.mark.parametrize(("names", "said"), [((), ""), (("second", "third"), "live in second, third could")])
def test_the_databases_whose_households_are_missing_are_named(names: tuple[str, ...], said: str) -> None:
    bits = environment().get_template("coaching/parts/bits.html")
    shown = str(bits.make_module({}).missing(names)).strip()  # type: ignore[attr-defined]  # its macro
    assert said in shown
    assert bool(shown) is bool(names)
