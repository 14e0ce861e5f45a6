"""Words that demand a caution, in the starter lists' tasks and in the steps, and what is let off and why."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from coach.coaching.lessons_folder import shipped_lessons
from coach.course.reader import load_course, read_catalogue, read_cautions, read_rooms

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from coach.course.model import Step

LESSONS = shipped_lessons()
CAUTIONS = read_cautions(LESSONS / "cautions.toml")
KINDS = read_rooms(LESSONS / "areas")
TASKS = [(task.title, task.caution) for kind in KINDS for task in (*kind.detail, *kind.declutter)]
STEPS = [*load_course(LESSONS / "three-weeks").steps, *read_catalogue(LESSONS / "catalogue")]

TASK_WORDS = {
    r"descal|limescale|chalk|vinegar|citric": "acids",
    r"(?<!without )bleach|toilet's|toilet brush|clean seat|wipe the cistern|of the bowl": "bleach",
    r"mould|for damp, |dark specks|drip black": "mould",
    r"(out of every|floor) drain": "caustic",
    r"\boven|\bhob's|the hob$|the cooker |cold iron": "heat caustic",
    r"\bladder|highest shelf|tops? of (the )?(shelves|wardrobe|cupboards|bookcases|tallest|mirror|wall|coat)"
    r"|wall cupboard|ceiling corners|curtain rail": "ladder",
    r"\bcobwebs": "dust",
    r"\blamps?\b|switch(es)?\b|\bbulbs?\b": "lamps",
    r"wash .*\bwindow|outer sills|by the open window": "window",
    r"toaster|microwave|\bfan\b|\bconsole\b|the computer's vents|printer|keyboard|the screen,|behind the tele"
    r"|dryer|dishwasher|sewing machine|socket|plugs and cables|extension leads|\bcables?\b|dehumid": "unplug",
    r"batter": "batteries",
    r"smoke alarm": "smoke-alarm",
    r"air filter": "air-filter",
    r"carbon monoxide": "carbon-monoxide",
    r"medicine": "medicines",
    r"refrigerator's (shelves|door seal)|in the refrigerator|freezer": "fridge food",
    r"\bmop (the|from)": "floors",
    r"\b(pull|draw|slide|lift|move|turn|roll)\b.*\b(bed|sofa|desk|rack|rug|table|crates)\b|weights"
    r"|exercise machine": "lifting",
    r"radiator": "radiators",
    r"\b(curtains|blind)\b": "blinds",
    r"candle|\bwax\b": "candles",
    r"\bash\b|fireplace": "fireplace",
    r"barbecue": "grill",
    r"knives|scissors|blade|\bpins\b|cutlery|mower|\bvice\b|\btools\b|spades": "tools glass",
    r"\bpaints?\b|varnish|\bglue\b|polish|\boil\b|\bfuel\b|thinner": "solvents",
    r"droppings|\bmoths?\b|grubs|gnaw": "pests",
    r"\bdog\b|animal|\bpets?\b|\bbird\b|\bcat\b|house plants|plants that": "animals",
    r"(clean|wipe) the mirror|scents?\b|freshener|\bspray": "sprays",
    r"stairs|stairwell|treads|risers|handrail|baluster": "stairs",
    r"\bcleaners\b|under the sink|below the basin": "storage",
    r"\btoys\b|toy box|toy basket|puzzle|beads|screws|small things": "small-parts",
    r"\bglasses\b|empty jars|bottles, crates": "glass",
    r"\bgarden\b|\bweeds\b|\bpots\b|\bcompost\b|\bearth\b": "soil garden",
    r"boiler|fuse box|hoses and taps": "trades",
    r"awning|film off the steps|outer steps": "mould floors",
}
"""Words of a task's title, and the cautions of which it then has one."""

TASK_EXCEPTIONS = {
    "Take down cobwebs from the ceiling corners with a long duster": "done from the floor",
    "Take down the cobwebs from the ceiling corners": "the ladder it needs weighs more",
    "Reach the stairwell's cobwebs with a long pole": "the stairs weigh more",
    "Take down the cobwebs around lamp and pipes": "only what hangs around the lamp",
    "Dust the curtain rail and brush the curtains down": "the ladder it needs weighs more",
    "Switch the fan off and brush its cover from below": "the plug weighs more than the switch",
    "Wipe the light switches and socket plates, barely damp": "the caution of switches names sockets",
    "Sort bulbs and batteries; dead ones go to collection": "the batteries weigh more than the bulbs",
    "Wash the grease filter of the cooker hood": "its fan is unplugged",
    "Clean the mirror with a damp cloth, frame included": "water alone",
    "Carry cups, socks and tools back where they live": "one at a time, out of a living room",
    "Return tools and paint that have strayed in here": "the paint weighs more",
    "Wipe the sticky rings off oil, honey and jam": "cooking oil",
    "Let go of leads and balls the dog has outlived": "without the dog",
    "Sort the towels kept for the dog and for spills": "without the dog",
    "Give the plants that have had enough to the compost": "garden work",
    "Bring what is under the stairs into the light": "what is carried weighs more than the stairs",
    "Try the toys with batteries and retire silent ones": "the batteries weigh more",
    "Put the soft toys that may be washed in the machine": "the machine weighs more",
    "Squeeze the bath toys and drop those that drip black": "the mould weighs more",
    "Gather the balls and toys nobody plays with outside": "balls and bats",
    "Bring old garden chemicals together for the collection point": "how chemicals are kept weighs more",
    "Smell teas and coffee; faded ones feed the compost": "tea leaves",
    "Wipe earth off spades and rakes and dry them": "the edge weighs more",
}

STEP_WORDS = {
    r"descal\w*|vinegar|citric|limescale|chalk\b": "acids detail-work",
    r"bleach": "bleach acids detail-work floors",
    r"toilet brush|the toilet,": "bleach floors",
    r"(shower|a|that) drain\b|plunger": "caustic",
    r"mould\b": "mould detail-work",
    r"ladders?\b": "ladder detail-work",
    r"unplug\w*|the plug\b|plug out": "unplug detail-work",
    r"medicines?\b|tablets?": "medicines",
    r"batter(y|ies)": "batteries",
    r"the charger": "batteries",
    r"thaw\w*": "thaw",
    r"leftovers": "leftovers food kitchen-night",
    r"a short walk\nten": "activity",
    r"^stretch": "activity",
    r"^a glass of water": "water",
    r"open the window wide": "window",
    r"^brush the dog|^wash the pet|^water the plants": "animals",
    r"\bsprays?\b|glass cleaner": "sprays",
    r"\bhob\b": "heat kitchen-night detail-work",
    r"smoke alarm": "smoke-alarm",
    r"air filter": "air-filter",
    r"\bmop\b": "floors",
    r"broken glass": "glass",
    r"^turn the mattress|^change the sheets|^take the giving-away": "lifting",
    r"candle|ceiling light": "lamps candles",
    r"60 °C": "laundry",
    r"wiring": "trades detail-work",
}
"""Words of all that a step says, from its title on, and the cautions of which it then has one."""

STEP_EXCEPTIONS = {
    ("bathroom-wiped", "acids detail-work"): "its caution, bleach, names descaler and all acids",
    ("wet-round", "acids detail-work"): "it says that descaling has another day",
    ("bathroom-wiped", "laundry"): "the cloths go with the towels; cleaners weigh more",
    ("sheets-changed", "laundry"): "one sentence; the back weighs more",
    ("medicine-cabinet", "caustic"): "nothing goes down it",
    ("kettle-descaled", "unplug detail-work"): "the lesson says so; the acid weighs more",
    ("smoke-alarm-test", "batteries"): "the battery of the alarm",
    ("microwave-wiped", "sprays"): "it says to use none",
    ("handles-wiped", "sprays"): "it says to use none",
}


def lacking(said: str, caution: str | None, table: Mapping[str, str]) -> Iterator[str]:
    """The cautions that words ask for and that are not there."""
    for words, keys in table.items():
        if re.search(words, said, re.IGNORECASE) and caution not in keys.split():
            yield keys


def all_said(step: Step) -> str:
    own = [step.title, step.why or "", step.cue or "", step.small or "", *(line.title for line in step.lines)]
    return "\n".join([*own, *(f"{lesson.title}\n{lesson.markdown}" for lesson in step.lessons)])


def tasks_lacking() -> set[tuple[str, str]]:
    return {(title, keys) for title, caution in TASKS for keys in lacking(title, caution, TASK_WORDS)}


def steps_lacking() -> set[tuple[str, str]]:
    return {(step.id, keys) for step in STEPS for keys in lacking(all_said(step), step.caution, STEP_WORDS)}


def test_a_task_whose_words_demand_a_caution_has_it() -> None:
    assert {one for one in tasks_lacking() if one[0] not in TASK_EXCEPTIONS} == set()


def test_a_step_whose_words_demand_a_caution_has_it() -> None:
    assert steps_lacking() - set(STEP_EXCEPTIONS) == set()


def test_an_exception_is_still_needed_and_has_its_reason() -> None:
    assert set(TASK_EXCEPTIONS) - {title for title, _ in tasks_lacking()} == set()
    assert set(STEP_EXCEPTIONS) - steps_lacking() == set()
    assert all([*TASK_EXCEPTIONS.values(), *STEP_EXCEPTIONS.values()])


def test_every_word_looked_for_is_said_somewhere_and_asks_for_a_caution_there_is() -> None:
    titles = [title for title, _ in TASKS]
    texts = [all_said(step) for step in STEPS]
    for table, said in ((TASK_WORDS, titles), (STEP_WORDS, texts)):
        for words, keys in table.items():
            assert any(re.search(words, one, re.IGNORECASE) for one in said), words
            assert set(keys.split()) <= set(CAUTIONS)


def test_no_caution_waits_in_vain_for_work_to_stand_beside() -> None:
    beside = {caution for _, caution in TASKS} | {step.caution for step in STEPS}
    assert set(CAUTIONS) - beside == set()


def test_a_task_that_lacks_its_caution_would_be_found() -> None:
    assert list(lacking("Descale the tap", None, TASK_WORDS)) == ["acids"]
    assert list(lacking("Descale the tap", "bleach", TASK_WORDS)) == ["acids"]
    assert list(lacking("Descale the tap", "acids", TASK_WORDS)) == []
    assert list(lacking("Stretch for a minute", None, STEP_WORDS)) == ["activity"]
