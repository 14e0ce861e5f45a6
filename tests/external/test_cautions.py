"""Where work can hurt someone a caution with its source stands beside it.

Sources are the ones named in `lessons/cautions.toml`; a fact of the trade says "common practice, no source".
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from coach.coaching.lessons_folder import shipped_lessons
from coach.course.reader import load_course, read_catalogue, read_cautions

if TYPE_CHECKING:
    from coach.course.model import Caution, Step

LESSONS = shipped_lessons()
CAUTIONS = read_cautions(LESSONS / "cautions.toml")
STEPS = [*load_course(LESSONS / "three-weeks").steps, *read_catalogue(LESSONS / "catalogue")]

NO_SOURCE = "common practice, no source"
AUTHORITIES = (
    "CDC", "poison-control centres", "EPA", "OSHA", "NHS", "NFPA", "ENERGY STAR", "USDA",
    "FoodSafety.gov", "EFSA",
)  # fmt: skip

# Words of work that can hurt: chemicals, heights, heat, current, food that spoils, mould, medicines. A step
# whose texts say one of them has a caution.
HAZARDS = re.compile(
    r"\b(bleach|descaler|acids?|(drain|oven|toilet) cleaner|solvents?|ladders?|step ?ladder|mould|medicines?|"
    r"tablets?|iron(ing)?|hob|oven|candles?|60 °C|unplug\w*|the plug|plug out|fuse box|batter(y|ies)|"
    r"smoke alarms?|limescale|thaw\w*|leftovers|raw (meat|mince|poultry)|broken glass)\b",
    re.IGNORECASE,
)


def words(step: Step) -> str:
    """All that a step says of itself."""
    own = [step.title, step.why or "", step.cue or "", step.small or "", *(line.title for line in step.lines)]
    return "\n".join([*own, *(f"{lesson.title}\n{lesson.markdown}" for lesson in step.lessons)])


@pytest.mark.parametrize("caution", CAUTIONS.values(), ids=list(CAUTIONS))
def test_every_caution_names_an_authority_or_says_that_there_is_none(caution: Caution) -> None:
    assert NO_SOURCE in caution.source or any(name in caution.source for name in AUTHORITIES)


@pytest.mark.parametrize("caution", CAUTIONS.values(), ids=list(CAUTIONS))
def test_what_no_authority_said_in_a_caution_is_marked_as_common_practice(caution: Caution) -> None:
    """A source that is named for a part only says what of the rest."""
    part_only = " for " in caution.source and NO_SOURCE not in caution.source
    assert not part_only


@pytest.mark.parametrize("step", STEPS, ids=[step.id for step in STEPS])
def test_a_steps_caution_exists(step: Step) -> None:
    assert step.caution is None or step.caution in CAUTIONS


@pytest.mark.parametrize("step", STEPS, ids=[step.id for step in STEPS])
def test_a_step_that_speaks_of_work_that_can_hurt_has_a_caution(step: Step) -> None:
    found = HAZARDS.search(words(step))
    assert found is None or step.caution is not None, found


def test_the_words_looked_for_are_words_the_lessons_use() -> None:
    said = {match[0].lower() for step in STEPS for match in HAZARDS.finditer(words(step))}
    assert {"bleach", "hob", "unplug", "thaw", "leftovers", "mould", "batteries"} <= said


def test_the_cautions_defer_to_labels_local_rules_and_licensed_trades() -> None:
    text = " ".join(caution.text.lower() for caution in CAUTIONS.values())
    for authority in ("label", "local rules", "licensed trade", "doctor", "pharmacist"):
        assert authority in text


DEFERS = re.compile(
    r"\b(labels?|local rules|licensed|trade|professional|plumber|electrician|window cleaner|sweep|garage|"
    r"landlord|doctor|pharmacist|vet|poison centre|emergency number|medical help|ask for help|manual|"
    r"maker|packet|country's advice)\b"
)
DOSE = re.compile(
    r"\b(\d+|one|two|three|half a|a) ?(ml|millilitres?|cl|tea ?spoons?|table ?spoons?|spoonfuls?|capfuls?|"
    r"cups?|drops?|mg|tablets?|parts?)\b|\d+ ?%|\b1 ?(:|to|in) ?\d+"
)


@pytest.mark.parametrize("caution", CAUTIONS.values(), ids=list(CAUTIONS))
def test_every_single_caution_defers_to_somebody(caution: Caution) -> None:
    assert DEFERS.search(caution.text)


@pytest.mark.parametrize("caution", CAUTIONS.values(), ids=list(CAUTIONS))
def test_no_caution_gives_a_dose(caution: Caution) -> None:
    assert DOSE.search(caution.text) is None


def test_a_dose_would_be_found() -> None:
    for dose in ("Take 50 ml of it.", "two spoonfuls", "dilute 1:10", "a 5 % solution", "half a cup"):
        assert DOSE.search(dose)
    assert DOSE.search("one out for every four up, after ten years") is None


def test_bleach_acids_and_mould_each_say_that_the_others_have_another_day() -> None:
    """CDC CS316270A, 2020, for not mixing; the day between is common practice, no source."""
    assert "another day" in CAUTIONS["bleach"].text
    assert "a day on which no bleach is used" in CAUTIONS["acids"].text
    assert "no acid that day" in CAUTIONS["mould"].text
