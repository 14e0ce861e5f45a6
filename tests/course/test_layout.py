"""The picture of a course: everything in its place, and nothing in the way of anything."""

from __future__ import annotations

import re
from itertools import combinations, pairwise
from pathlib import Path
from random import Random
from time import process_time
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.course.arrangement import COLUMNS, arrangement
from coach.course.graph import Needs, graph_of
from coach.course.layout import DAILY, LEAST_HEIGHT, WIDTH, Edge, Node, picture
from coach.course.lettering import LINE_HEIGHT, MOST_LINES, title_lines, widest_word, width
from coach.course.links import telling_links
from coach.course.model import Step
from coach.course.reader import load_course

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from coach.course.approach import Point

THREE_WEEKS = load_course(Path(__file__).parents[2] / "lessons" / "three-weeks").steps


WIDEST_LANE = 6.0
SOME_RULES = st.sampled_from(["FREQ=DAILY", "FREQ=DAILY", "FREQ=WEEKLY;BYDAY=TU", "FREQ=MONTHLY;BYDAY=1SA"])


@st.composite
def many_steps(draw: st.DrawFn) -> tuple[Step, ...]:
    """Steps that name earlier ones, some of them not for every day."""
    names = [f"s{number}" for number in range(draw(st.integers(1, 14)))]
    steps = []
    for index, name in enumerate(names):
        earlier = st.lists(st.sampled_from(names[:index]), max_size=4).map(tuple) if index else st.just(())
        title = draw(st.text("abcW ", min_size=1, max_size=60))
        repeats = draw(SOME_RULES)
        steps.append(Step(name, title, repeats=repeats, after=draw(earlier), after_any=draw(earlier)))
    return tuple(steps)


def overlap(one: Node, other: Node) -> bool:
    beside = abs(one.x - other.x) >= (one.width + other.width) / 2
    above = one.y + one.height <= other.y or other.y + other.height <= one.y
    return not (beside or above)


def drawn(edge: Edge) -> list[Point]:
    """Points along the lane as its path is drawn, read back from the data of the path."""
    numbers = [float(number) for number in re.findall(r"-?[\d.]+(?:e-?\d+)?", edge.path)]
    pieces = re.findall(r"[MVC]", edge.path)
    here, along = (0.0, 0.0), []
    for piece in pieces:
        taken = {"M": 2, "V": 1, "C": 6}[piece]
        given, numbers = numbers[:taken], numbers[taken:]
        if piece == "M":
            here = (given[0], given[1])
            continue
        first, second, end = (
            (here, (here[0], given[0]), (here[0], given[0]))
            if piece == "V"
            else ((given[0], given[1]), (given[2], given[3]), (given[4], given[5]))
        )
        along += [bow(here, first, second, end, part / 12) for part in range(13)]
        here = end
    return along


def bow(start: Point, first: Point, second: Point, end: Point, part: float) -> Point:
    """A point of a cubic Bézier curve."""
    rest = 1 - part
    weights = rest**3, 3 * rest**2 * part, 3 * rest * part**2, part**3
    four = (start, first, second, end)
    return (
        sum(weight * x for weight, (x, _) in zip(weights, four, strict=True)),
        sum(weight * y for weight, (_, y) in zip(weights, four, strict=True)),
    )


def touched(edge: Edge, nodes: Iterable[Node]) -> list[str]:
    """The fields that a lane as wide as it is drawn touches, other than at its own two ends."""
    along = drawn(edge)
    found = []
    for node in nodes:
        half = 0.0 if node.step in (edge.source, edge.target) else WIDEST_LANE / 2
        left, right = node.x - half + 0.1, node.x + node.width + half - 0.1
        top, low = node.y + 0.1, node.y + node.height - 0.1
        if any(top < y < low and left < x < right for x, y in along):
            found.append(node.step)
    return found


FEWER = settings(max_examples=settings().max_examples // 2)  # a tangle takes a tenth of a second


@FEWER
@given(many_steps())
def test_no_two_fields_overlap_and_all_stand_within_the_picture(steps: tuple[Step, ...]) -> None:
    found = picture(steps)
    assert not any(overlap(one, other) for one, other in combinations(found.nodes, 2))
    assert all(0 <= node.x <= found.width - node.width for node in found.nodes)
    assert all(0 <= node.y <= found.height - node.height for node in found.nodes)
    assert found.width == WIDTH


@given(st.text("abcW ", max_size=60))
def test_no_field_is_narrower_or_lower_than_its_words(title: str) -> None:
    (node,) = picture([Step("a", title)]).nodes
    assert max(map(width, node.lines)) <= node.plate <= node.width
    assert LINE_HEIGHT * len(node.lines) < node.height


@FEWER
@given(many_steps())
def test_lanes_lead_down_from_field_to_field_and_touch_no_other(steps: tuple[Step, ...]) -> None:
    found = picture(steps)
    fields = {node.step: node for node in found.nodes}
    for edge in found.edges:
        source, target = fields[edge.source], fields[edge.target]
        assert edge.points[0] == (source.x + source.width / 2, source.y + source.height)
        assert edge.points[-1][1] == target.y
        assert target.x < edge.points[-1][0] < target.x + target.width
        assert all(above[1] < below[1] for above, below in pairwise(edge.points))
        assert touched(edge, found.nodes) == []


@FEWER
@given(many_steps())
def test_a_gate_stands_on_each_lane_above_its_field_and_clear_of_all_fields(steps: tuple[Step, ...]) -> None:
    found = picture(steps)
    fields = {node.step: node for node in found.nodes}
    links = sorted((edge.source, edge.target) for edge in found.edges)
    assert sorted((gate.source, gate.target) for gate in found.gates) == links
    for gate in found.gates:
        half, foot = 12 * gate.scale, gate.y + 22 * gate.scale
        target = fields[gate.target]
        assert target.x <= gate.x - half
        assert gate.x + half <= target.x + target.width
        assert foot <= target.y
        head = Node("", gate.x - half, gate.y - 11 * gate.scale, 2 * half, 33 * gate.scale, (), 0)
        assert not any(overlap(head, node) for node in found.nodes)
    assert len({(gate.x, gate.y) for gate in found.gates}) == len(found.gates)


@FEWER
@given(many_steps())
def test_the_picture_has_every_step_and_the_links_that_can_matter(steps: tuple[Step, ...]) -> None:
    found = picture(steps)
    assert [node.step for node in found.nodes] == [step.id for step in steps]
    assert {(edge.source, edge.target) for edge in found.edges} == telling_links(graph_of(steps))


@FEWER
@given(many_steps())
def test_a_step_stands_below_all_that_it_comes_after(steps: tuple[Step, ...]) -> None:
    plan = arrangement(graph_of(steps), frozenset(step.id for step in steps if step.repeats != DAILY))
    for step in steps:
        row, column = plan.slots[step.id]
        assert 0 <= column < COLUMNS
        assert all(plan.slots[name][0] < row for name in step.after + step.after_any)
    assert {row for row, _ in plan.slots.values()} == set(range(plan.rows))
    assert len(set(plan.slots.values())) == len(steps)


@FEWER
@given(many_steps())
def test_what_is_not_for_every_day_stands_beside_or_below_the_rest_and_never_above_it(
    steps: tuple[Step, ...],
) -> None:
    beside = frozenset(step.id for step in steps if step.repeats != DAILY)
    slots = arrangement(graph_of(steps), beside).slots
    others = [slots[step.id] for step in steps if step.id not in beside]
    if not beside or not others:
        return
    last = max(row for row, _ in others)
    assert all(column < COLUMNS - 1 for _, column in others)
    assert all(slots[step][1] == COLUMNS - 1 or slots[step][0] > last for step in beside)


def test_the_ground_of_the_weekdays_has_its_heading_and_no_field_of_another_kind() -> None:
    found = picture(THREE_WEEKS)
    assert found.heading[0] == "By weekday"
    inside = {node.step for node in found.nodes if lies_in((node.x + 1, node.y + 1), found.strip)}
    assert inside == {step.id for step in THREE_WEEKS if step.repeats != DAILY}
    monthly = [Step("a", "A"), Step("b", "B", repeats="FREQ=MONTHLY;BYDAY=1SA")]
    assert picture(monthly).heading[0] == "Not every day"
    assert picture([Step("a", "A"), Step("b", "B")]).strip == ()


def lies_in(point: Point, outline: tuple[Point, ...]) -> bool:
    """Whether a point lies in a polygon, by how often a ray to the right meets its edges."""
    x, y = point
    edges = zip(outline, (*outline[1:], outline[0]), strict=True)
    return sum((one[1] > y) != (other[1] > y) and one[0] > x for one, other in edges) % 2 == 1


def test_gates_stand_in_a_row_where_all_must_come_first_and_side_by_side_where_one_is_enough() -> None:
    roots = [Step("a", "A"), Step("b", "B"), Step("c", "C")]
    names = ("a", "b", "c")
    in_row = picture([*roots, Step("d", "D", after=names)]).gates
    assert len({gate.x for gate in in_row}) == 1
    assert len({gate.y for gate in in_row}) == len(names)
    abreast = picture([*roots, Step("d", "D", after_any=names)]).gates
    assert len({gate.x for gate in abreast}) == len(names)
    assert len({gate.y for gate in abreast}) == 1
    both = {
        gate.source: gate
        for gate in picture([*roots, Step("d", "D", after=("a",), after_any=("b", "c"))]).gates
    }
    assert both["b"].y == both["c"].y < both["a"].y


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
    assert not any(touched(edge, found.nodes[::3]) for edge in found.edges[::9])


def test_even_steps_that_wait_for_each_other_can_be_drawn() -> None:
    """A household's own steps may come to that, and its page must open all the same."""
    plan = arrangement({"a": Needs(("b",)), "b": Needs(("a",)), "c": Needs(("c", "b"))})
    assert set(plan.slots) == {"a", "b", "c"}


def test_titles_break_into_lines_that_fit() -> None:
    assert title_lines("Bed", 84) == ("Bed",)
    assert title_lines("Close the kitchen for the night", 84) == ("Close the", "kitchen for", "the night")
    assert title_lines("Move a laundry load on", 84) == ("Move a", "laundry", "load on")
    assert title_lines("", 84) == ("",)
    assert picture([Step("a", "Bed")]).nodes[0].height == LEAST_HEIGHT


def test_words_left_over_are_said_to_be_by_dots_and_a_word_too_wide_by_a_hyphen() -> None:
    lines = title_lines("Put what you need tomorrow beside the door tonight and then look again", 84)
    assert len(lines) == MOST_LINES
    assert lines[-1].endswith("…")
    assert title_lines("Geschirrspülmaschinenreiniger", 84)[0].endswith("-")
    assert all(width(line) <= 84 for line in (*lines, *title_lines("Geschirrspülmaschinenreiniger", 84)))


def test_fields_are_wider_where_a_word_needs_it() -> None:
    narrow, wide = picture([Step("a", "Bed")]).nodes[0], picture([Step("a", "Fensterputzmittel")]).nodes[0]
    assert wide.lines == ("Fensterputzmittel",)
    assert widest_word("Fensterputzmittel") <= wide.plate < wide.width
    assert narrow.width < wide.width
