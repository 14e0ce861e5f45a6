"""Every story's log gives, day by day, what its expected file says."""

from __future__ import annotations

import re

import pytest

from coach.progress.csvform import read_log
from coach.progress.log_check import check_log
from coach.progress.standing import replay_json
from golden.playing import played
from golden.story import STORIES, all_kept, standings, story_of, told
from property.as_tables import as_table, as_texts
from property.second_reading import standings as second_standings

EVERYTHING_KEPT = [name for name in STORIES if story_of(name).keeps_all]
BY_THE_CLOCK = [name for name in STORIES if story_of(name).taps()]


@pytest.mark.parametrize("name", STORIES)
def test_a_log_gives_what_its_story_says(name: str) -> None:
    story = story_of(name)
    assert told(story) == story.expected.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", STORIES)
def test_a_second_reading_of_the_rules_tells_the_same_story(name: str) -> None:
    story = story_of(name)
    ours = [replay_json(day) for day in standings(story)]
    theirs = second_standings(as_table(story.course), as_texts(story.rows), standings(story)[-1].on)
    for day in theirs:
        for step in day["steps"].values():
            step["strength"] = pytest.approx(step["strength"], abs=1e-6)
    assert ours == theirs


@pytest.mark.parametrize("name", STORIES)
def test_a_storys_log_is_one_that_can_be_read_in(name: str) -> None:
    story = story_of(name)
    log = read_log((story.folder / "log.csv").read_text(encoding="utf-8"))
    assert check_log(log, story.course, story.until) == ()


@pytest.mark.parametrize("name", EVERYTHING_KEPT)
def test_where_everything_is_kept_the_log_says_so_and_the_last_waiting_step_settles_on_its_day(
    name: str,
) -> None:
    story = story_of(name)
    assert story.rows == tuple(all_kept(story))
    told_day = re.search(r"settles on day (\d+)\.$", story.shows)
    assert told_day is not None
    final = standings(story)[-1]
    settled = [step.settled_on for step in final.steps.values() if step.step.waits and step.settled_on]
    assert len(settled) == sum(step.waits for step in story.course.steps)
    assert (max(settled) - standings(story)[0].on).days + 1 == int(told_day[1])


@pytest.mark.parametrize("name", BY_THE_CLOCK)
def test_what_was_tapped_by_the_clock_is_the_storys_log(name: str) -> None:
    story = story_of(name)
    assert read_log(played(story)).rows == story.rows


def test_the_stories_in_which_everything_is_kept_are_those_of_the_shipped_course() -> None:
    shipped = [name for name in STORIES if len(story_of(name).course.steps) > 5]
    assert shipped == EVERYTHING_KEPT == ["three-weeks-gentle", "three-weeks-standard"]


def test_the_stories_of_zones_and_odd_hours_are_told_by_the_clock() -> None:
    assert BY_THE_CLOCK == ["apia-in-december-2011", "from-lisbon-to-auckland-and-back", "night-worker"]
