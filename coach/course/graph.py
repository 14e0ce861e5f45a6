"""The graph of a course: what each step needs, the order that follows, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from typing import TYPE_CHECKING

from coach.course.likely import meant

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from coach.course.model import Step


@dataclass(frozen=True, slots=True)
class Needs:
    """What a step comes after.

    Attributes:
        after: Every one of these.
        after_any: One of these, if any are named.
    """

    after: tuple[str, ...] = ()
    after_any: tuple[str, ...] = ()

    @property
    def names(self) -> tuple[str, ...]:
        """All steps it names, each once."""
        return tuple(dict.fromkeys(self.after + self.after_any))


Graph = Mapping[str, Needs]
"""The needs of every step, by id, in course order."""


@dataclass(frozen=True, slots=True)
class GraphFault:
    """Something wrong with a graph.

    Attributes:
        step: The step whose file it concerns; None if it is the whole course.
        key: The key of that file.
        name: The name in that key that is wrong, if one is.
        reason: What is wrong and how to mend it.
    """

    step: str | None
    key: str
    name: str | None
    reason: str


def graph_of(steps: Iterable[Step]) -> dict[str, Needs]:
    """The graph of these steps."""
    return {step.id: Needs(step.after, step.after_any) for step in steps}


def order(graph: Graph) -> tuple[str, ...]:
    """The steps so that each comes after all it names, in course order wherever that leaves a choice.

    Raises:
        CycleError: The graph has a cycle.
    """
    sorter = TopologicalSorter({step: _known_names(graph, step) for step in graph})
    sorter.prepare()
    ready, ordered = list(sorter.get_ready()), []
    place = {step: index for index, step in enumerate(graph)}
    while ready:
        ready.sort(key=place.__getitem__)
        ordered.append(ready.pop(0))
        sorter.done(ordered[-1])
        ready.extend(sorter.get_ready())
    return tuple(ordered)


def can_come(needs: Needs, reached: set[str]) -> bool:
    """Whether a step with these needs may come once those steps have been reached."""
    return reached.issuperset(needs.after) and (
        not needs.after_any or not reached.isdisjoint(needs.after_any)
    )


def graph_faults(graph: Graph, unread: Iterable[str] = ()) -> list[GraphFault]:
    """Find everything wrong with a graph.

    Args:
        graph: The needs of the steps whose files could be read.
        unread: Ids of steps whose needs are not known because their files have faults of their own; what
            depends on them is given the benefit of the doubt.
    """
    doubtful = tuple(unread)
    if not graph and not doubtful:
        reason = "the folder has no step; add a file such as 01-first-step.md"
        return [GraphFault(None, "", None, reason)]
    whole = {**graph, **{step: Needs() for step in doubtful}}
    circles = list(cycles(whole))
    return [
        *_unknown_names(graph, whole),
        *(_circle_fault(circle, graph) for circle in circles),
        *([] if doubtful else _no_root(graph)),
        *_out_of_reach(whole, circles),
    ]


def cycles(graph: Graph) -> Iterator[tuple[str, ...]]:
    """Circles of steps that wait for each other; no step is in two, and the first stands at the end again."""
    left = dict(graph)
    place = {step: index for index, step in enumerate(graph)}
    while left:
        try:
            order(left)
        except CycleError as error:
            circle = error.args[1][:-1]
            first = circle.index(min(circle, key=place.__getitem__))
            turned = (*circle[first:], *circle[:first])
            yield (*turned, turned[0])
            left = {step: needs for step, needs in left.items() if step not in circle}
        else:
            return


def _known_names(graph: Graph, step: str) -> list[str]:
    return [name for name in graph[step].names if name in graph]


def _unknown_names(graph: Graph, whole: Graph) -> Iterator[GraphFault]:
    for step, needs in graph.items():
        for key, names in (("after", needs.after), ("after_any", needs.after_any)):
            for name in names:
                if name not in whole:
                    reason = f"“{key}” names “{name}”, which is no step here{meant(name, whole)}"
                    yield GraphFault(step, key, name, reason)


def _circle_fault(circle: tuple[str, ...], graph: Graph) -> GraphFault:
    first, last = circle[0], circle[-2]
    key = "after" if last in graph[first].after else "after_any"
    if len(circle) == 2:  # noqa: PLR2004 a step and itself
        return GraphFault(first, key, last, f"“{first}” comes after itself, a cycle: {' -> '.join(circle)}")
    reason = f"these steps wait for each other in a cycle: {' -> '.join(circle)}; take one link out"
    return GraphFault(first, key, last, reason)


def _no_root(graph: Graph) -> Iterator[GraphFault]:
    if all(needs.names for needs in graph.values()):
        reason = "there is no root: every step comes after others; leave “after” and “after_any” out of one"
        yield GraphFault(None, "", None, reason)


def _out_of_reach(graph: Graph, circles: Iterable[Sequence[str]]) -> Iterator[GraphFault]:
    """Steps that cannot be reached though neither they nor their names have a fault of their own."""
    at_fault = {step for circle in circles for step in circle}
    reached = _reached(graph)
    for step, needs in graph.items():
        if step in reached or step in at_fault or any(name not in graph for name in needs.names):
            continue
        blocked = [name for name in needs.names if name not in reached]
        key = "after" if blocked[0] in needs.after else "after_any"
        reason = f"“{step}” can never be reached, because “{blocked[0]}” cannot"
        yield GraphFault(step, key, blocked[0], reason)


def _reached(graph: Graph) -> set[str]:
    reached: set[str] = set()
    while more := {step for step in graph if step not in reached and can_come(graph[step], reached)}:
        reached |= more
    return reached
