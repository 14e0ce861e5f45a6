"""Lessons that do not sound alike: endings, sentences, shapes and the parts that a step's lessons play."""

from __future__ import annotations

from collections import Counter

import pytest

from lessons.shapes import REPEATED, ROLES, Piece, key_of, pieces

PIECES = tuple(pieces())
PLACES = sorted({piece.place for piece in PIECES})
COURSE_STEPS = [place for place in PLACES if place.startswith("three-weeks/")]

ONE_IN = 8
"""Of so many lessons one may end in a short sentence."""

FEW = 4
"""Files of so many lessons have at most one short ending, longer ones two."""

OFTEN = Counter(key for piece in PIECES for key in {key_of(one) for one in piece.sentences})
"""In how many lessons each sentence stands."""

in_each_file = pytest.mark.parametrize("place", PLACES)


def of(place: str) -> list[Piece]:
    return [piece for piece in PIECES if piece.place == place]


def roles(place: str) -> tuple[str, ...]:
    return tuple(piece.role for piece in of(place))


def alike(found: list[Piece]) -> list[tuple[str, ...]]:
    """The titles that share a shape, for each shape that is there more than once."""
    shapes = Counter(piece.shape for piece in found)
    return [tuple(one.title for one in found if one.shape == shape) for shape, n in shapes.items() if n > 1]


def test_at_most_one_lesson_in_eight_ends_in_a_short_sentence() -> None:
    short = sum(piece.ends_short for piece in PIECES)
    assert short * ONE_IN <= len(PIECES), f"{short} of {len(PIECES)}"


@in_each_file
def test_few_lessons_of_a_file_end_in_a_short_sentence(place: str) -> None:
    found = of(place)
    short = [(piece.title, piece.sentences[-1]) for piece in found if piece.ends_short]
    assert len(short) <= (1 if len(found) <= FEW else 2), short


@in_each_file
def test_no_sentence_stands_in_another_lesson_too(place: str) -> None:
    sentences = [(piece.title, one) for piece in of(place) for one in piece.sentences]
    assert [
        (title, one)
        for title, one in sentences
        if len(key_of(one).split()) >= REPEATED and OFTEN[key_of(one)] > 1
    ] == []


@in_each_file
def test_no_firm_and_no_brand_is_named(place: str) -> None:
    assert [(piece.title, name) for piece in of(place) for name in piece.brands] == []


@in_each_file
def test_no_two_lessons_of_a_file_have_one_shape(place: str) -> None:
    assert alike(of(place)) == []


@pytest.mark.parametrize("place", COURSE_STEPS)
def test_no_two_steps_of_the_course_speak_of_small_days_and_missed_ones_in_one_order(place: str) -> None:
    assert [other for other in COURSE_STEPS if other != place and roles(other) == roles(place)] == []


def test_the_steps_of_the_course_have_more_or_fewer_lessons() -> None:
    assert len({len(of(place)) for place in COURSE_STEPS}) >= 3


@pytest.mark.parametrize("role", ROLES)
def test_the_lesson_of_a_small_day_or_a_missed_one_has_no_usual_place(role: str) -> None:
    """A reader who has met a few steps would know what the fourth lesson of the next is about."""
    first = Counter(
        next(nth for nth, one in enumerate(roles(place)) if role in one)
        for place in COURSE_STEPS
        if any(role in one for one in roles(place))
    )
    assert all(steps * 2 <= len(COURSE_STEPS) for steps in first.values()), first


LIST = "Take three things:\n\n- a cloth\n- a bowl\n\nThen begin. Is it dry? Stop *there.* Good."


@pytest.mark.parametrize(
    ("markdown", "shape", "ending"),
    [
        (LIST, ("p1", "l2", "p4"), 1),
        ("Once a week.\n\n> Whose is it?\n\n1. first\n2. then", ("p1", "q", "l2"), None),
        ("*Is it?* becomes arithmetic at 60 °C. {Kept} of {of} will do.", ("p2",), 5),
        ("“Not now.” He went, and\nthat was all there was to it that evening.", ("p2",), 12),
    ],
)
def test_a_shape_and_an_ending_are_read_as_one_would(
    markdown: str, shape: tuple[str, ...], ending: int | None
) -> None:
    piece = Piece("steady/x", "X", markdown)
    assert (piece.shape, piece.ending) == (shape, ending)


def test_what_must_not_be_there_would_be_found() -> None:
    one, other = Piece("a", "A", LIST), Piece("a", "B", LIST.replace("three", "two"))
    assert alike([one, other]) == [("A", "B")]
    assert one.ends_short
    assert Piece("a", "A", "Out with the hoover, as a yougov survey says.").brands == ["hoover", "yougov"]
    assert key_of("Nothing is *lost*, then.") == key_of("nothing is lost then")
    assert [Piece("a", "A", text).role for text in ("The small version.", "It was missed.", "Dust.")] == [
        "s",
        "m",
        "-",
    ]
