"""Which links of a graph say something: all that a step needs, without what follows from the rest."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.course.graph import Needs, can_come, order

if TYPE_CHECKING:
    from collections.abc import Mapping

    from coach.course.graph import Graph

Link = tuple[str, str]
"""A step and one that comes after it."""


def telling_links(graph: Graph) -> frozenset[Link]:
    """The links (before, after) that can matter.

    Steps come *by their turn* if each one settled or set aside came after all its `after` and, if it has
    `after_any`, after one of these. Whatever steps have come by their turn so far, the links given here say
    the same of every step as all links do: whether it may come next.

    A link of `after` is left out if the step could not come without it anyway. The links of `after_any` say
    together that one is enough, so they are left out together: if some step of them has always come before
    what `after` asks for.

    Raises:
        CycleError: The graph has a cycle.
    """
    known = _known(graph)
    earlier = _always_earlier(known)
    return frozenset(
        (name, step) for step, needs in known.items() for name in _telling_names(needs, known, earlier)
    )


def _known(graph: Graph) -> dict[str, Needs]:
    """The graph without names of steps that do not exist, each step after all it names."""
    return {
        step: Needs(
            tuple(name for name in graph[step].after if name in graph),
            tuple(name for name in graph[step].after_any if name in graph),
        )
        for step in order(graph)
    }


def _always_earlier(known: Graph) -> dict[str, frozenset[str]]:
    """For each step those that have come whenever it has come by its turn, itself included.

    Two lots of steps that came by their turn make another one together. So what several steps bring along is
    what each of them brings along.
    """
    earlier: dict[str, frozenset[str]] = {}
    for step, needs in known.items():
        of_any = _common(earlier, needs.after_any)
        earlier[step] = of_any.union({step}, *(earlier[name] for name in needs.after))
    return earlier


def _common(earlier: Mapping[str, frozenset[str]], names: tuple[str, ...]) -> frozenset[str]:
    """What comes along whichever of the names it is."""
    return frozenset.intersection(*(earlier[name] for name in names)) if names else frozenset()


def _telling_names(needs: Needs, known: Graph, earlier: Mapping[str, frozenset[str]]) -> set[str]:
    of_any = needs.after_any if _can_lack(needs, known) else ()
    implied = _common(earlier, of_any).union(*(earlier[name] - {name} for name in needs.after))
    return {name for name in needs.after if name not in implied}.union(of_any)


def _can_lack(needs: Needs, known: Graph) -> bool:
    """Whether all of `after` can have come by their turn while none of `after_any` has."""
    if not (needs.after and needs.after_any):
        return True
    without: set[str] = set()
    for step in known:
        if step not in needs.after_any and can_come(known[step], without):
            without.add(step)
    return without.issuperset(needs.after)
