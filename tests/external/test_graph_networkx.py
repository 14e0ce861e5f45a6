"""The graph's order and cycles against NetworkX.

Source: the installed networkx package, https://networkx.org/.
"""

from __future__ import annotations

from itertools import pairwise

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from coach.course.graph import Needs, cycles, graph_faults, order

Graph = dict[str, Needs]


def needs_of(names: list[str]) -> st.SearchStrategy[Needs]:
    some = st.lists(st.sampled_from(names), max_size=4, unique=True).map(tuple) if names else st.just(())
    return st.builds(Needs, some, some)


@st.composite
def acyclic(draw: st.DrawFn) -> Graph:
    """Steps that name earlier ones, in a shuffled course order."""
    names = [f"s{number}" for number in range(draw(st.integers(1, 12)))]
    graph = {name: draw(needs_of(names[:index])) for index, name in enumerate(names)}
    return {name: graph[name] for name in draw(st.permutations(names))}


@st.composite
def any_graph(draw: st.DrawFn) -> Graph:
    names = [f"s{number}" for number in range(draw(st.integers(1, 8)))]
    return {name: draw(needs_of(names)) for name in names}


def reference(graph: Graph) -> nx.DiGraph:
    found = nx.DiGraph()
    found.add_nodes_from(graph)
    found.add_edges_from((name, step) for step, needs in graph.items() for name in needs.names)
    return found


@given(acyclic())
def test_the_order_is_the_first_topological_order_by_course_order(graph: Graph) -> None:
    place = list(graph).index
    assert order(graph) == tuple(nx.lexicographical_topological_sort(reference(graph), key=place))


@given(any_graph())
def test_every_knot_of_steps_that_wait_for_each_other_has_one_of_its_cycles_named(graph: Graph) -> None:
    """And with every name known nothing else is wrong: there is a root and no step is out of reach."""
    circles, known = list(cycles(graph)), reference(graph)
    for circle in circles:
        assert all(known.has_edge(one, other) for one, other in pairwise(circle))
        assert circle[0] == circle[-1]
        assert len(set(circle)) == len(circle) - 1
    knots = [
        knot
        for knot in nx.strongly_connected_components(known)
        if len(knot) > 1 or any(known.has_edge(step, step) for step in knot)
    ]
    assert all(any(set(circle) <= knot for circle in circles) for knot in knots)
    assert bool(graph_faults(graph)) == bool(knots)
