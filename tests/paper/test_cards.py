"""The day cards: which lines stand on which, and what stands beside them."""

from __future__ import annotations

from coach.ground.cautions import CautionView
from coach.habits import steps
from coach.paper import cards as service
from coach.paper.answers import CardLine, Cards
from coach.paper.rules.cards import space
from habits.house import HOME, HOT, House
from progress.living import a_course, a_step


def a_house(days: int = 9) -> House:
    """The small course with everything kept until a day."""
    house = House().begun("bed")
    for day in range(1, days):
        house.at(day)
        for line in ("bed", "cups", "job", "lamp"):
            house.mark(day, line)
    return house.at(days)


def found(house: House, **wanted: object) -> Cards:
    return service.cards(house.context, HOME, **wanted)  # type: ignore[arg-type]


def lines(cards: Cards) -> dict[str, list[str]]:
    """By part of the day the steps of its cards."""
    told: dict[str, list[str]] = {}
    for card in cards.cards:
        told.setdefault(card.slot, []).extend(line.step for line in card.lines)
    return told


def line(house: House, step: str) -> CardLine:
    return next(one for card in found(house).cards for one in card.lines if one.step == step)


def long_list(count: int) -> House:
    """A morning of so many lines."""
    steps_ = (
        a_step(f"s{number}", small="A little of it", cue="then", slot="morning") for number in range(count)
    )
    house = House(a_course(*steps_, at_once=count)).begun("s0")
    for number in range(count):
        house.mark(1, f"s{number}")
    return house


def test_each_part_of_the_day_has_a_card_in_the_order_of_the_day() -> None:
    cards = found(a_house())
    assert [card.title for card in cards.cards] == ["Morning", "Anytime", "Evening"]
    assert lines(cards) == {"morning": ["bed"], "anytime": ["cups", "job"], "evening": ["lamp"]}
    assert (cards.per_page, cards.paper) == (4, "a4")


def test_a_part_without_lines_has_none() -> None:
    assert [card.slot for card in found(House().begun("bed")).cards] == ["morning"]


def test_what_has_not_come_is_set_aside_or_rests_stands_on_none() -> None:
    house = House().begun("bed").at(2)
    assert lines(found(house)) == {"morning": ["bed"]}
    grown = a_house()
    steps.set_aside(grown.context, HOME, "cups")
    assert lines(found(grown))["anytime"] == ["job"]
    away = a_house().at(60)
    away.mark(60, "bed")
    resting = {one.step for one in away.mark(60, "bed").resting}
    assert resting
    assert not resting & {step for part in lines(found(away)).values() for step in part}


def test_only_what_is_not_daily_says_its_days() -> None:
    house = a_house()
    assert line(house, "bed").days == ""
    assert line(house, "job").days == "every week"


def test_a_caution_stands_beside_its_line() -> None:
    house = a_house()
    caution = line(house, "job").caution
    assert caution is not None
    assert caution.title == HOT.title
    assert line(house, "bed").caution is None


def test_the_text_of_a_caution_stands_on_a_card_where_there_is_room_for_it() -> None:
    def fitting(repeated: int, lines: int) -> list[bool]:
        text = "Mind the hot pan. " * repeated
        one = CardLine("x", "X", "then", "A bit", 3, "", CautionView("hot", "Hot", text, ""))
        told = service.with_cautions((one,) * lines, space("a4", 4))
        return [line.caution_fits for line in told]

    assert line(a_house(), "job").caution_fits
    assert not line(a_house(), "bed").caution_fits
    assert fitting(5, 2) == [True, True]
    assert fitting(40, 2) == [True, False]
    assert fitting(5, 6) == [False] * 6


def test_a_long_list_goes_on_on_further_cards_and_says_so() -> None:
    cards = found(long_list(40)).cards
    assert len(cards) > 1
    assert [(card.number, card.of) for card in cards] == [
        (number, len(cards)) for number in range(1, len(cards) + 1)
    ]
    assert [one.step for card in cards for one in card.lines] == [f"s{number}" for number in range(40)]


def test_a_larger_card_holds_as_many_lines_in_larger_type_on_either_paper() -> None:
    house = long_list(12)
    for paper in ("a4", "letter"):
        for per_page in (2, 4):
            cards = found(house, paper=paper, per_page=per_page).cards
            assert sum(len(card.lines) for card in cards) == 12
            assert min(len(card.lines) for card in cards[:-1]) >= 5


def test_what_stands_below_a_title_is_days_and_cue_the_small_version_and_what_to_mind() -> None:
    written = CardLine("x", "X", "after lunch", "A bit", 3, "every Tuesday", None)
    assert service.below(written) == ("every Tuesday · after lunch", "Small version: A bit")
    assert service.below(CardLine("x", "X", None, None, 3, "", None)) == ()
