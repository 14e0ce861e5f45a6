"""Questions under a lesson, alike ones together, answered once; and what a household sees of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from coach.coaching.answering import answer, change_answer, keep_apart, put_together, questions
from coach.coaching.below import Below, below, lesson_in
from coach.coaching.questions import MOST_OPEN, Asking, ask, own_questions
from coach.errors import Malformed, NotEditable, Unknown
from coach.ground.groups import BY_NAME
from coach.ground.situation import looking
from coach.household import data, start
from coaching.village import BEN, Village, answering, coach
from habits.house import HOME
from progress.living import on

if TYPE_CHECKING:
    from coach.coaching.answers import Questions

BUNK = "How does one air the bunk bed upstairs?"
UPSTAIRS = "The bunk bed upstairs: air it how?"
CUPS = "Where do cups go?"


@pytest.fixture
def village() -> Village:
    return Village().begun().joins()


def test_nothing_that_is_asked_turns_the_words_around_it(village: Village) -> None:
    turned = "Air the \u202ebunk\u202c bed\u2066?\u2069 \u05d0\u200f"
    found = ask(village.context, HOME, Asking(turned))
    assert [one.text for one in found.questions] == ["Air the bunk bed? \u05d0\u200f"]


def another(village: Village, household: str = "h2", name: str = "Ash") -> None:
    start.start(village.context, household, None)
    village.joins(household, name)


def shown(found: Questions) -> list[list[list[str]]]:
    return [[[one.text for one in pile.questions] for pile in step.piles] for step in found.waiting]


def asked(village: Village) -> Questions:
    return questions(village.context, coach(), village.group)


def ids(village: Village) -> list[str]:
    with village.store.coaching_reading() as reading:
        return [one.id for one in reading.questions(village.group)]


def _version(village: Village) -> int:
    home = village.store.version(HOME)
    assert home is not None
    return home.version


def seen(village: Village, household: str = HOME, step: str = "bed") -> Below:
    with looking(village.context, household) as where:
        place = lesson_in(where, step)
    assert place is not None
    return below(village.context, place)


def test_a_question_is_kept_as_plain_text_without_a_name(village: Village) -> None:
    village.asks("  <b>Why</b>\r\nso?\x00 ")
    [step] = asked(village).waiting
    [one] = step.piles[0].questions
    assert (step.title, one.text, one.name, one.lesson) == ("The bed", "<b>Why</b>\nso?", "", 1)


def test_with_its_name_the_coach_sees_whose_it_is(village: Village) -> None:
    another(village)
    village.asks("Whose?", with_name=True)
    village.asks("Mine?", "h2")
    names = [one.name for step in asked(village).waiting for pile in step.piles for one in pile.questions]
    assert sorted(names) == ["", "Tern Street"]


def test_a_name_goes_when_the_consent_it_was_given_under_runs_out(village: Village) -> None:
    village.joins(level=BY_NAME, until=on(1))
    village.asks("Whose?", with_name=True)
    assert names_of(village) == ["Tern Street"]
    village.now += timedelta(days=1)
    assert names_of(village) == [""]
    village.asks("And now?", with_name=True)
    assert sorted(names_of(village)) == ["", "Tern Street"]


def names_of(village: Village) -> list[str]:
    """The names beside what waits."""
    return [one.name for step in asked(village).waiting for pile in step.piles for one in pile.questions]


@pytest.mark.parametrize(
    ("text", "error"),
    [("", Malformed), (" \n", Malformed), ("x" * 1001, Malformed)],
)
def test_a_question_that_says_nothing_or_too_much_is_refused(
    village: Village, text: str, error: type[Exception]
) -> None:
    with pytest.raises(error):
        village.asks(text)
    assert ids(village) == []


@pytest.mark.parametrize("place", [("cups", 1), ("bed", 0), ("bed", 9), ("nowhere", 1), ("", 1)])
def test_one_asks_under_lessons_that_were_read(village: Village, place: tuple[str, int]) -> None:
    with pytest.raises(Unknown, match="no such lesson"):
        village.asks("Why?", step=place[0], lesson=place[1])


def test_under_a_lesson_of_no_step_one_can_ask_too(village: Village) -> None:
    village.asks("Why?", step="", lesson=0)
    assert [step.title for step in asked(village).waiting] == ["lessons of no step"]


def test_a_household_in_no_group_has_nobody_to_ask() -> None:
    village = Village().begun()
    with pytest.raises(Unknown, match="no coach to ask"):
        village.asks("Why?")


def test_the_same_request_asks_once_and_the_household_sees_its_question(village: Village) -> None:
    context = replace(village.context, request_id="r1")
    before = _version(village)
    for _ in range(2):
        found = ask(context, HOME, Asking("Why?", "bed", 1))
    assert [one.text for one in found.questions] == ["Why?"]
    assert _version(village) > before


def test_so_many_wait_and_no_more_until_some_are_answered(village: Village) -> None:
    for number in range(MOST_OPEN):
        village.asks(f"Question {number}")
    with pytest.raises(NotEditable, match="wait for an answer already"):
        village.asks("One more")
    answer(village.context, coach(), village.group, answering(ids(village)[0]))
    village.asks("One more")


def test_alike_ones_lie_together_and_can_be_taken_apart_for_good(village: Village) -> None:
    another(village)
    village.asks(BUNK)
    village.asks(UPSTAIRS, "h2")
    village.asks(CUPS)
    assert shown(asked(village)) == [[[BUNK, UPSTAIRS], [CUPS]]]
    found = keep_apart(village.context, coach(), village.group, ids(village)[1])
    assert shown(found) == [[[BUNK], [UPSTAIRS], [CUPS]]]
    village.asks(BUNK, "h2")
    assert shown(asked(village)) == [[[BUNK, BUNK], [UPSTAIRS], [CUPS]]]


def test_what_lies_apart_is_put_together_by_hand_and_taken_apart_again(village: Village) -> None:
    village.asks(BUNK)
    village.asks(CUPS)
    one, other = ids(village)
    assert shown(put_together(village.context, coach(), village.group, other, one)) == [[[BUNK, CUPS]]]
    assert shown(put_together(village.context, coach(), village.group, one, other)) == [[[CUPS, BUNK]]]
    assert shown(keep_apart(village.context, coach(), village.group, other)) == [[[BUNK], [CUPS]]]


def test_a_question_is_not_put_together_with_itself_or_another_steps(village: Village) -> None:
    village.asks(BUNK)
    village.asks(CUPS, step="", lesson=0)
    one, other = ids(village)
    for beside in (one, other):
        with pytest.raises(Malformed):
            put_together(village.context, coach(), village.group, one, beside)


def test_an_answer_reaches_those_who_asked_and_nobody_else(village: Village) -> None:
    another(village)
    village.asks(BUNK)
    village.asks(UPSTAIRS, "h2")
    village.asks(CUPS, "h2")
    first, second, _ = ids(village)
    given = answer(village.context, coach(), village.group, answering(first, second, text="Windows open."))
    assert (given.asked, given.for_all, given.title) == (2, False, "The bed")
    assert shown(asked(village)) == [[[CUPS]]]
    assert [one.answer for one in seen(village).own] == ["Windows open."]
    assert [one.answer for one in seen(village, "h2").own] == ["Windows open.", None]
    another(village, "h3", "Oak")
    assert seen(village, "h3") == Below(None, (), (), ())


def test_for_all_it_stands_below_that_lesson_in_the_coachs_words(village: Village) -> None:
    another(village)
    village.asks("We at 5 Tern Street: where do cups go?")
    [one] = ids(village)
    said = answering(one, text="By the sink.", for_all=True, question="Where do cups go?")
    answer(village.context, coach(), village.group, said)
    [found] = seen(village, "h2").said
    assert (found.question, found.text) == ("Where do cups go?", "By the sink.")
    assert "5 Tern Street" not in str(seen(village, "h2")) + str(own_questions(village.context, "h2"))
    assert seen(village).said == ()
    assert seen(village).own[0].answer == "By the sink."
    assert seen(village, "h2", "cups").said == ()


def test_an_answer_to_what_was_asked_elsewhere_stands_on_the_page_for_some_days(village: Village) -> None:
    village.asks(CUPS)
    answer(village.context, coach(), village.group, answering(ids(village)[0]))
    assert [one.text for one in seen(village.at(3), step="cups").lately] == [CUPS]
    assert seen(village.at(5), step="cups").lately == ()
    assert [one.text for one in seen(village).own] == [CUPS]


def test_for_all_it_needs_the_coachs_words_and_a_step(village: Village) -> None:
    village.asks("Why?", step="", lesson=0)
    village.asks(CUPS)
    of_no_step, of_bed = ids(village)
    for wrong in (
        answering(of_no_step, for_all=True, question="Why?"),
        answering(of_bed, for_all=True),
        answering(of_bed, of_no_step),
        answering(),
        answering(of_bed, text=" "),
    ):
        with pytest.raises(Malformed):
            answer(village.context, coach(), village.group, wrong)
    assert len(shown(asked(village))) == 2


def test_what_is_answered_is_not_answered_again_but_by_the_same_request(village: Village) -> None:
    village.asks(CUPS)
    [one] = ids(village)
    context = replace(village.context, request_id="r1")
    first = answer(context, coach(), village.group, answering(one))
    assert answer(context, coach(), village.group, answering(one)) == first
    for change in (
        lambda: answer(village.context, coach(), village.group, answering(one)),
        lambda: keep_apart(village.context, coach(), village.group, one),
    ):
        with pytest.raises(NotEditable):
            change()


def test_an_answer_is_worded_anew_and_taken_from_all_again(village: Village) -> None:
    another(village)
    village.asks(CUPS)
    said = answering(ids(village)[0], for_all=True, question="Cups?")
    made = answer(village.context, coach(), village.group, said)
    change_answer(village.context, coach(), village.group, made.answer, answering(text="By the stove."))
    assert seen(village, "h2").said == ()
    assert seen(village).own[0].answer == "By the stove."


def test_another_coach_reads_and_answers_nothing(village: Village) -> None:
    village.asks(CUPS)
    [one] = ids(village)
    ben = coach(BEN)
    for change in (
        lambda: questions(village.context, ben, village.group),
        lambda: keep_apart(village.context, ben, village.group, one),
        lambda: put_together(village.context, ben, village.group, one, one),
        lambda: answer(village.context, ben, village.group, answering(one)),
        lambda: change_answer(village.context, ben, village.group, one, answering(one)),
    ):
        with pytest.raises(Unknown, match="no such group"):
            change()


def test_a_question_of_another_group_is_not_there(village: Village) -> None:
    with pytest.raises(Unknown, match="no such question"):
        answer(village.context, coach(), village.group, answering("q9"))


def test_with_a_household_its_questions_are_gone(village: Village) -> None:
    another(village)
    village.asks(CUPS)
    village.asks(BUNK, "h2")
    data.forget(village.context, "h2")
    assert shown(asked(village)) == [[[CUPS]]]
