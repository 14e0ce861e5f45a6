"""Which links are drawn: all that can matter, held against their meaning step by step."""

from __future__ import annotations

from itertools import chain, combinations

from hypothesis import given
from hypothesis import strategies as st

from coach.course.graph import Needs
from coach.course.links import telling_links

Graph = dict[str, Needs]
ROOT = Needs()


@st.composite
def graphs(draw: st.DrawFn) -> Graph:
    """Few steps that name earlier ones, so that every lot of them can be looked at."""
    names = [f"s{number}" for number in range(draw(st.integers(1, 7)))]
    graph = {}
    for index, name in enumerate(names):
        earlier = st.lists(st.sampled_from(names[:index]), max_size=3, unique=True) if index else st.just([])
        graph[name] = Needs(tuple(draw(earlier)), tuple(draw(earlier)))
    return {name: graph[name] for name in draw(st.permutations(names))}


def may_come(step: str, graph: Graph, come: set[str], links: frozenset[tuple[str, str]]) -> bool:
    """What a picture with these links says of a step: rules §5.5."""
    after = [name for name in graph[step].after if (name, step) in links]
    any_of = [name for name in graph[step].after_any if (name, step) in links and name not in after]
    return come.issuperset(after) and (not any_of or not come.isdisjoint(any_of))


def all_links(graph: Graph) -> frozenset[tuple[str, str]]:
    return frozenset((name, step) for step, needs in graph.items() for name in needs.names)


def lots(graph: Graph) -> list[set[str]]:
    """Every set of steps that can have come by their turn: each after what it needs."""
    some = chain.from_iterable(combinations(graph, size) for size in range(len(graph) + 1))
    return [come for come in map(set, some) if all(obeys(graph[step], come) for step in come)]


def obeys(needs: Needs, come: set[str]) -> bool:
    return come.issuperset(needs.after) and (not needs.after_any or not come.isdisjoint(needs.after_any))


@given(graphs())
def test_the_links_drawn_say_the_same_as_all_links_whatever_has_come(graph: Graph) -> None:
    drawn = telling_links(graph)
    assert drawn <= all_links(graph)
    for come in lots(graph):
        assert all(may_come(step, graph, come, drawn) == obeys(graph[step], come) for step in graph)


@given(graphs())
def test_every_link_that_is_drawn_can_matter(graph: Graph) -> None:
    """One of `after` by itself; those of `after_any` together, since together they say something."""
    drawn, by_turn = telling_links(graph), lots(graph)
    for name, step in drawn:
        needs = graph[step]
        left_out = {name} if name in needs.after else set(needs.after_any)
        others = drawn - {(other, step) for other in left_out}
        assert any(may_come(step, graph, come, others) != obeys(needs, come) for come in by_turn)


def test_a_link_that_follows_from_others_is_left_out() -> None:
    graph = {"a": ROOT, "b": Needs(("a",)), "c": Needs(("a", "b"), ("a",))}
    assert telling_links(graph) == {("a", "b"), ("b", "c")}


def test_where_one_is_enough_the_nearer_way_is_drawn_beside_the_longer() -> None:
    graph = {"a": ROOT, "b": Needs(("a",)), "c": Needs((), ("a", "b"))}
    assert telling_links(graph) == {("a", "b"), ("a", "c"), ("b", "c")}


def test_what_only_one_of_several_ways_brings_along_is_drawn() -> None:
    graph = {"a": ROOT, "other": ROOT, "b": Needs((), ("a", "other")), "c": Needs(("a", "b"))}
    assert ("a", "c") in telling_links(graph)


def test_what_every_one_of_several_ways_brings_along_is_left_out() -> None:
    graph = {"a": ROOT, "b": Needs(("a",)), "c": Needs(("a",)), "d": Needs(("a",), ("b", "c"))}
    assert ("a", "d") not in telling_links(graph)


def test_names_that_do_not_exist_are_no_links() -> None:
    assert telling_links({"a": ROOT, "b": Needs(("a", "gone"))}) == {("a", "b")}
