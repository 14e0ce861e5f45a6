"""How the house is built: nothing needs itself by way of another."""

from __future__ import annotations

from typing import TYPE_CHECKING

import grimp
import networkx as nx
import pytest

if TYPE_CHECKING:
    from collections.abc import Callable


def file_of(module: str) -> str:
    return module


def room_of(module: str) -> str:
    """The package or module just below `coach` in which a module lies."""
    return ".".join(module.split(".")[:2])


def circles(place_of: Callable[[str], str]) -> list[list[str]]:
    """One circle of imports out of every knot; imports for types and inside functions count as well.

    Whoever reads or changes a file has to know those that it names, whether they are loaded then or later.
    """
    graph = grimp.build_graph("coach", exclude_type_checking_imports=False, cache_dir=None)
    known = nx.DiGraph(
        (place_of(module), place_of(imported))
        for module in graph.modules
        for imported in graph.find_modules_directly_imported_by(module)
        if place_of(module) != place_of(imported)
    )
    knots = [knot for knot in nx.strongly_connected_components(known) if len(knot) > 1]
    return [[one for one, _ in nx.find_cycle(known.subgraph(sorted(knot)))] for knot in knots]


@pytest.mark.parametrize("place_of", [file_of, room_of])
def test_nothing_imports_itself_by_way_of_another(place_of: Callable[[str], str]) -> None:
    assert circles(place_of) == []
