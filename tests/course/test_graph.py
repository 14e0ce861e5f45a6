"""What is wrong with a graph, and the orders a sound one has; networkx checks cycles in tests/external."""

from __future__ import annotations

from coach.course.graph import Needs, cycles, graph_faults, order

ROOT = Needs()


def test_the_order_keeps_to_the_course_order_where_it_can() -> None:
    graph = {"c": Needs(("a",)), "b": ROOT, "a": ROOT, "d": Needs((), ("c", "b"))}
    assert order(graph) == ("b", "a", "c", "d")


def test_names_that_do_not_exist_are_no_links() -> None:
    graph = {"a": ROOT, "b": Needs(("a", "gone"))}
    assert order(graph) == ("a", "b")


def test_a_cycle_begins_with_its_first_step_in_course_order_and_follows_the_links() -> None:
    graph = {"root": ROOT, "b": Needs(("a",)), "c": Needs(("b", "root")), "a": Needs((), ("c", "root"))}
    assert list(cycles(graph)) == [("b", "c", "a", "b")]


def test_a_sound_graph_has_no_fault() -> None:
    assert graph_faults({"a": ROOT, "b": Needs(("a",), ("a",))}) == []


def test_a_fault_says_whose_file_which_key_and_which_name() -> None:
    (fault,) = graph_faults({"bed-made": ROOT, "desk": Needs((), ("bed-maid", "bed-made"))})
    assert (fault.step, fault.key, fault.name) == ("desk", "after_any", "bed-maid")
    assert fault.reason.endswith("did you mean “bed-made”?")


def test_what_depends_on_an_unread_file_has_the_benefit_of_the_doubt() -> None:
    assert graph_faults({"a": Needs(("unread",)), "b": Needs(("a",))}, ["unread"]) == []


def test_a_thousand_steps_in_a_chain_are_no_trouble() -> None:
    graph = {f"s{number}": Needs((f"s{number - 1}",) if number else ()) for number in range(1000)}
    assert graph_faults(graph) == []
    assert order(graph) == tuple(graph)
