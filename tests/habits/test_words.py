"""Reasons in words for people."""

from __future__ import annotations

from typing import TYPE_CHECKING, get_args

import pytest

from coach.course.model import Hold
from coach.habits.wording import SENTENCES, needs, reason_text
from coach.progress.unlocking import Kind
from progress.living import a_course, a_step, days, marks, on, row, stand, start

if TYPE_CHECKING:
    from coach.progress.log import Row

BED = a_step("bed", title="Make the bed", minutes=2)
CUPS = a_step("cups", title="Rinse the cups", after=["bed"], minutes=5)
JOB = a_step("job", title="Brush the dog", repeats="FREQ=WEEKLY", waits=False)


def said(rows: list[Row], day: int) -> list[str]:
    standing = stand(a_course(BED, CUPS, JOB), [*start(), *rows], day)
    return [reason_text(standing, reason) for reason in standing.reasons]


@pytest.mark.parametrize(
    ("rows", "day", "sentence"),
    [
        ([], 1, "Make the bed has just come; kept 2 of 3 days, it brings the next step."),
        (
            [row(1, "missed", "bed")],
            2,
            "Make the bed has held 0 of 1 day so far; 2 of 3 bring the next step.",
        ),
        (
            [row(1, "kept", "bed"), row(2, "missed", "bed")],
            3,
            "Make the bed has held 1 of the last 2 days; 2 of 3 bring the next step.",
        ),
        (
            [row(1, "kept", "bed"), row(2, "missed", "bed")],
            3,
            "Lately 1 of 2 lines were kept; from 2 of 2 on there is room for the next step.",
        ),
        (
            [row(1, "minutes", value="6"), *marks("kept", [1, 2, 3], "bed"), row(3, "kept", "job")],
            4,
            "Rinse the cups takes 5 minutes; with the 2 on your list that is more than the 6 minutes a day",
        ),
        ([row(1, "kept", "bed")], 1, "Brush the dog can come tomorrow; at most one step comes on a day."),
        ([row(2, "pause")], 2, "You are away; nothing is due and nothing new comes."),
        ([], 8, "The list waits for you, made smaller. Any mark, or a choice above, takes it up again."),
        (
            [*marks("kept", [1, 2, 3], "bed"), *marks("kept", [2, 3], "job"), row(25, "resume")],
            25,
            "First the list grows back: Brush the dog returns after a day that went mostly well.",
        ),
        ([row(8, "resume", value="all")], 8, "This is the day of the return; nothing new comes today."),
        (
            [*marks("kept", [1, 2, 3], "bed"), row(2, "set-aside", "cups")],
            3,
            "Every step of the course has come.",
        ),
    ],
)
def test_a_reason_is_said_in_a_sentence(rows: list[Row], day: int, sentence: str) -> None:
    assert any(reason.startswith(sentence) for reason in said(rows, day))


def held(at_least: float, kept: int, of: int) -> str | None:
    """What is said after so many of so many lines were kept; None if nothing is held back."""
    course = a_course(
        a_step("bed", settles={"kept": 9, "of": 9}), "cups", hold=Hold(at_least=at_least, over=9)
    )
    rows = [*marks("kept", days(1, kept), "bed"), *marks("missed", days(kept + 1, of), "bed")]
    standing = stand(course, [*start(), *rows], of + 1)
    said = [reason_text(standing, reason) for reason in standing.reasons if reason.kind == "hold"]
    return said[0].split(" on there is")[0] if said else None


@pytest.mark.parametrize(
    ("at_least", "kept", "of", "sentence"),
    [
        (0.6, 2, 5, "Lately 2 of 5 lines were kept; from 3 of 5"),
        (0.6, 3, 5, None),
        (0.6, 3, 6, "Lately 3 of 6 lines were kept; from 4 of 6"),
        # Two thirds as a file writes them: shares are compared at 9 decimals, and what is said is the same.
        (0.6666666667, 1, 3, "Lately 1 of 3 lines were kept; from 2 of 3"),
        (0.6666666667, 2, 3, None),
        (0.6666666667, 3, 6, "Lately 3 of 6 lines were kept; from 4 of 6"),
        # A share that differs in the ninth decimal is another one.
        (0.666666668, 2, 3, "Lately 2 of 3 lines were kept; from 3 of 3"),
    ],
)
def test_what_would_be_enough_is_said_as_it_is_compared(
    at_least: float, kept: int, of: int, sentence: str | None
) -> None:
    assert held(at_least, kept, of) == sentence


def test_a_weekly_step_is_counted_in_times_and_not_in_days() -> None:
    rows = [*start("job"), row(1, "kept", "job"), row(8, "missed", "job")]
    course = a_course(JOB, a_step("lamp", after=["job"]))
    standing = stand(course, rows, 15)
    assert [reason_text(standing, reason) for reason in standing.reasons][-1] == (
        "Brush the dog has held 1 of the last 2 times; 2 of 3 bring the next step."
    )


def test_what_a_step_waits_for_is_said_with_titles() -> None:
    lamp = a_step("lamp", after=["bed", "cups"], after_any=["job", "door"])
    standing = stand(a_course(BED, CUPS, JOB, a_step("door", title="Clear the shelf"), lamp), start(), 1)
    assert needs(standing, standing.steps["lamp"]) == (
        "Comes after Make the bed and Rinse the cups, and after Brush the dog or Clear the shelf."
    )


def test_what_is_settled_or_set_aside_is_waited_for_no_longer() -> None:
    course = a_course(BED, CUPS, a_step("lamp", after=["bed", "cups"]))
    rows = [*start(), *marks("kept", [1, 2], "bed")]
    assert (
        needs(stand(course, rows, 3), stand(course, rows, 3).steps["lamp"]) == "Comes after Rinse the cups."
    )
    aside = [*rows, row(3, "set-aside", "cups")]
    assert needs(stand(course, aside, 3), stand(course, aside, 3).steps["lamp"]) == ""


def test_there_are_words_for_every_kind_of_reason_without_exclamation() -> None:
    assert set(SENTENCES) == set(get_args(Kind))
    everything = [sentence for day in (1, 3, 8) for sentence in said([row(1, "kept", "bed")], day)]
    assert not any("!" in sentence for sentence in everything)
    assert on(1).isoformat() not in " ".join(everything)
