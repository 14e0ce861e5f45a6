"""The picture of a course: everything in its place, and nothing in the way of anything."""

from __future__ import annotations

from itertools import combinations, pairwise
from pathlib import Path
from random import Random
from time import process_time
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.course.arrangement import COLUMNS, arrangement
from coach.course.graph import Needs, depths, graph_of
from coach.course.layout import LEAST_HEIGHT, WIDTH, Edge, Node, Point, picture, title_lines
from coach.course.links import telling_links
from coach.course.model import Step
from coach.course.reader import load_course

if TYPE_CHECKING:
    from collections.abc import Callable

THREE_WEEKS = load_course(Path(__file__).parents[2] / "lessons" / "three-weeks").steps


@st.composite
def many_steps(draw: st.DrawFn) -> tuple[Step, ...]:
    """Steps that name earlier ones."""
    names = [f"s{number}" for number in range(draw(st.integers(1, 14)))]
    steps = []
    for index, name in enumerate(names):
        earlier = st.lists(st.sampled_from(names[:index]), max_size=3).map(tuple) if index else st.just(())
        title = draw(st.text("abc ", min_size=1, max_size=60))
        steps.append(Step(name, title, after=draw(earlier), after_any=draw(earlier)))
    return tuple(steps)


def overlap(one: Node, other: Node) -> bool:
    beside = abs(one.x - other.x) >= (one.width + other.width) / 2
    above = one.y + one.height <= other.y or other.y + other.height <= one.y
    return not (beside or above)


def runs_through(edge: Edge, node: Node) -> bool:
    """Whether some piece of a link lies inside a box, with half a unit of tolerance."""
    within_x, within_y = (node.x + 0.5, node.x + node.width - 0.5), (node.y + 0.5, node.y + node.height - 0.5)
    return any(
        within_x[0] < x < within_x[1] and within_y[0] < y < within_y[1]
        for (x1, y1), (x2, y2) in pairwise(edge.points)
        for x, y in [(x1 + (x2 - x1) * part / 20, y1 + (y2 - y1) * part / 20) for part in range(21)]
    )


FEWER = settings(max_examples=settings().max_examples // 2)  # a tangle takes a tenth of a second


@FEWER
@given(many_steps())
def test_no_two_boxes_overlap_and_all_stand_within_the_picture(steps: tuple[Step, ...]) -> None:
    found = picture(steps)
    assert not any(overlap(one, other) for one, other in combinations(found.nodes, 2))
    assert all(0 <= node.x <= found.width - node.width for node in found.nodes)
    assert all(0 <= node.y <= found.height - node.height for node in found.nodes)
    assert found.width == WIDTH


@FEWER
@given(many_steps())
def test_links_lead_down_from_box_to_box_and_through_no_other(steps: tuple[Step, ...]) -> None:
    found = picture(steps)
    boxes = {node.step: node for node in found.nodes}
    for edge in found.edges:
        source, target = boxes[edge.source], boxes[edge.target]
        assert edge.points[0] == (source.x + source.width / 2, source.y + source.height)
        assert edge.points[-1] == (target.x + target.width / 2, target.y)
        assert all(above[1] < below[1] for above, below in pairwise(edge.points))
        assert not any(runs_through(edge, node) for node in found.nodes)


@given(many_steps())
def test_the_picture_has_every_step_and_the_links_that_can_matter(steps: tuple[Step, ...]) -> None:
    found = picture(steps)
    assert [node.step for node in found.nodes] == [step.id for step in steps]
    assert {(edge.source, edge.target) for edge in found.edges} == telling_links(graph_of(steps))


@FEWER
@given(many_steps())
def test_a_step_stands_below_everything_less_deep(steps: tuple[Step, ...]) -> None:
    depth = depths(graph_of(steps))
    slots = arrangement(graph_of(steps)).slots
    rows: dict[int, set[int]] = {}
    for step, (row, column) in slots.items():
        rows.setdefault(depth[step], set()).add(row)
        assert 0 <= column < COLUMNS
    assert all(max(rows[level]) < min(rows[level + 1]) for level in range(len(rows) - 1))
    assert sorted(row for level in rows.values() for row in level) == list(
        range(max(map(max, rows.values())) + 1)
    )


def test_links_that_need_only_one_are_told_from_the_others() -> None:
    steps = [
        Step("a", "A"),
        Step("b", "B"),
        Step("c", "C"),
        Step("d", "D", after=("a",), after_any=("b", "c")),
    ]
    edges = {(edge.source, edge.any) for edge in picture(steps).edges}
    assert edges == {("a", False), ("b", True), ("c", True)}


def test_the_same_steps_always_give_the_same_picture() -> None:
    plan = arrangement(graph_of(THREE_WEEKS))
    assert plan == arrangement(graph_of(THREE_WEEKS))


def test_the_three_weeks_stand_in_at_most_three_columns_with_few_crossings() -> None:
    found = picture(THREE_WEEKS)
    lines = {line for edge in found.edges for line in pairwise(edge.points)}
    assert sum(cross(one, other) for one, other in combinations(lines, 2)) <= 4
    assert len({node.x for node in found.nodes}) <= 3


def cross(one: tuple[Point, Point], other: tuple[Point, Point]) -> bool:
    """Whether two lines cross, ends aside."""
    (a, b), (c, d) = one, other
    return side(a, b, c) * side(a, b, d) < 0 and side(c, d, a) * side(c, d, b) < 0


def side(a: Point, b: Point, c: Point) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


@pytest.mark.parametrize("count", [0, 1, 2, 3, 4, 7])
def test_a_layer_wider_than_three_wraps(count: int) -> None:
    nodes = picture([Step(f"s{number}", "Step") for number in range(count)]).nodes
    assert len({node.y for node in nodes}) == -(-count // 3)


def chain() -> list[Step]:
    return [Step(f"s{at}", "Step", after=(f"s{at - 1}",) if at else ()) for at in range(200)]


def roots() -> list[Step]:
    return [Step(f"s{at}", "Step") for at in range(300)]


def fan() -> list[Step]:
    return [Step(f"s{at}", "Step", after=("s0",) if at else ()) for at in range(200)]


def tangle() -> list[Step]:
    """Steps that each come after up to three of the twenty before, and after one of others from anywhere."""
    of = Random(1)  # noqa: S311 no secret depends on it
    names = [f"s{at}" for at in range(200)]
    return [
        Step(
            name,
            "Step",
            after=tuple(of.sample(names[max(0, at - 20) : at], min(at, of.randint(0, 3)))),
            after_any=tuple(of.sample(names[:at], min(at, of.choice([0, 0, 3])))),
        )
        for at, name in enumerate(names)
    ]


@pytest.mark.parametrize("many", [chain, roots, fan, tangle])
def test_hundreds_of_steps_are_laid_out_within_a_second(many: Callable[[], list[Step]]) -> None:
    steps = many()
    begun = process_time()
    found = picture(steps)
    assert process_time() - begun < 1
    assert len(found.nodes) == len(steps)
    assert not any(runs_through(edge, node) for edge in found.edges[::9] for node in found.nodes[::3])


def test_even_steps_that_wait_for_each_other_can_be_drawn() -> None:
    """A household's own steps may come to that, and its page must open all the same."""
    plan = arrangement({"a": Needs(("b",)), "b": Needs(("a",)), "c": Needs(("c", "b"))})
    assert set(plan.slots) == {"a", "b", "c"}


def test_titles_break_into_lines_that_fit() -> None:
    assert title_lines("Bed") == ("Bed",)
    assert title_lines("Close the kitchen for the night") == ("Close the", "kitchen for", "the night")
    assert title_lines("Put what you need tomorrow beside the door tonight") == (
        "Put what you",
        "need tomorrow",
        "beside the…",
    )
    assert title_lines("") == ("",)
    assert picture([Step("a", "Bed")]).nodes[0].height == LEAST_HEIGHT
