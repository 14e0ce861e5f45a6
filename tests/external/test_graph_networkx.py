"""The graph's order, depths, reduction and cycles against NetworkX.

Source: the installed networkx package, https://networkx.org/.
"""

from __future__ import annotations

from itertools import pairwise

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from coach.course.graph import Needs, cycles, depths, graph_faults, order, reduced

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


@given(acyclic())
def test_depths_are_the_longest_ways_from_a_root(graph: Graph) -> None:
    layers = enumerate(nx.topological_generations(reference(graph)))
    assert depths(graph) == {step: depth for depth, layer in layers for step in layer}


@given(acyclic())
def test_the_reduction_is_the_transitive_reduction(graph: Graph) -> None:
    assert reduced(graph) == set(nx.transitive_reduction(reference(graph)).edges)


@given(any_graph())
def test_cycles_are_found_exactly_where_there_are_some(graph: Graph) -> None:
    found, known = list(cycles(graph)), reference(graph)
    assert bool(found) != nx.is_directed_acyclic_graph(known)
    for circle in found:
        assert all(known.has_edge(one, other) for one, other in pairwise(circle))
        assert circle[0] == circle[-1]
        assert len(set(circle)) == len(circle) - 1


@given(any_graph())
def test_every_knot_of_steps_that_wait_for_each_other_has_one_of_its_cycles_named(graph: Graph) -> None:
    named = [set(circle) for circle in cycles(graph)]
    known = reference(graph)
    knots = [
        knot
        for knot in nx.strongly_connected_components(known)
        if len(knot) > 1 or any(known.has_edge(step, step) for step in knot)
    ]
    assert all(any(circle <= knot for circle in named) for knot in knots)


@given(any_graph())
def test_a_graph_is_sound_exactly_if_it_has_no_cycle(graph: Graph) -> None:
    """With every name known, a graph without cycle has a root and every step can be reached."""
    assert bool(graph_faults(graph)) != nx.is_directed_acyclic_graph(reference(graph))
