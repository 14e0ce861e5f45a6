"""The store in memory and the one in a database answer alike, whatever is asked of them in whatever order."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from datetime import time
from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from coach.errors import SteadingError
from coach.ground.plan_rows import PlannedRow, PlanRow
from coach.ground.ports import CourseVersion
from coach.ground.rows import WrittenRow
from coach.progress.log import Row, What
from coach.store.memory import MemoryStore
from coach.store.opening import open_store
from store.laid_out import lay_out
from store.tern_street import HOUSEHOLD, NOW, day, held, held_of, saved

if TYPE_CHECKING:
    from collections.abc import Callable

    import pytest

    from coach.ground.ports import Reading, Store, Writing

    Act = Callable[[Writing], object]

days = st.integers(1, 12).map(day)
rows = st.lists(
    st.builds(
        Row, days, st.sampled_from(What), st.sampled_from(["", "bed-made"]), st.text("aé🐕", max_size=2)
    ),
    max_size=4,
)
whats = st.sampled_from(["dinner", "todo"])
keys = st.sampled_from(["", "2027-01-04", "2027-01-05 é", "B", "a", "\ufffd", "🐕"])
plan_rows = st.lists(
    st.builds(PlanRow, days, whats, keys, st.sampled_from(["", "1", '"soup"'])), min_size=1, max_size=4
)
by = st.sampled_from(["", "ana"])
requests = st.none() | st.sampled_from(["r1", "r2"])
acts = st.one_of(
    st.just(lambda writing: writing.create(HOUSEHOLD)),
    st.just(lambda writing: writing.clear()),
    st.builds(
        lambda added, request, who: lambda writing: writing.append(added, NOW, request, who),
        rows,
        requests,
        by,
    ),
    st.builds(
        lambda added, request, who: lambda writing: writing.put_plan(added, NOW, request, who),
        plan_rows,
        requests,
        by,
    ),
    st.builds(
        lambda number, name: lambda writing: writing.save_plan(name, saved(number)),
        st.integers(1, 12),
        st.sampled_from(["rotation", "passes"]),
    ),
    st.builds(
        lambda added, course: (
            lambda writing: writing.replace_log(replace(HOUSEHOLD, course=course), added, NOW)
        ),
        rows,
        st.sampled_from(["three-weeks", "other"]),
    ),
    st.builds(
        lambda log, plan, course: (
            lambda writing: writing.take_in(replace(HOUSEHOLD, course=course), log, plan)
        ),
        st.lists(
            st.builds(
                WrittenRow,
                rows.map(lambda some: some[0] if some else Row(day(1), What.KEPT, "bed-made", "")),
                st.just(NOW),
                by,
                st.none() | st.just(NOW),
                st.booleans(),
            ),
            max_size=3,
        ),
        plan_rows.map(lambda some: [PlannedRow(row, NOW, "ana") for row in some]),
        st.sampled_from(["three-weeks", "other"]),
    ),
    st.builds(
        lambda zone, week: lambda writing: writing.settings(zone, time(15), week),
        st.sampled_from(["UTC", "Pacific/Apia"]),
        st.none() | st.sampled_from(["monday", "sunday"]),
    ),
    st.builds(
        lambda on, digest: lambda writing: writing.add_course(CourseVersion(on, digest), "{}"),
        days,
        st.sampled_from(["d1", "d2"]),
    ),
    st.builds(
        lambda number, digest: lambda writing: writing.save_standings([saved(number, digest)]),
        st.integers(1, 12),
        st.sampled_from(["d1", "d2"]),
    ),
)
transactions = st.lists(st.tuples(st.sampled_from(["a", "b"]), st.lists(acts, max_size=5)), max_size=6)


def everything(reading: Reading) -> list[object]:
    """All that can be read of a household, its version left out: each store counts in its own way."""
    household = reading.household()
    return [
        None if household is None else replace(household, version=0),
        list(reading.rows()),
        *(list(reading.rows(day(number))) for number in (1, 6, 13)),
        list(reading.courses()),
        list(reading.written_rows()),
        list(reading.planned_rows()),
        *(reading.standing(day(number), [digest]) for number in (1, 6, 13) for digest in ("d1", "d2")),
        *planned(reading),
    ]


def planned(reading: Reading) -> list[object]:
    """All that can be read of a household's plan."""
    return [
        held_of(reading, ["dinner", "todo", "due"]),
        *(list(held(reading, "todo", *bounds)) for bounds in (("", None), (None, "a"), ("B", "\ufffd"))),
        *(list(reading.plan_history("todo", key, 3)) for key in ("", "a")),
        *(reading.saved_plan("rotation", day(number), "d1") for number in (6, 13)),
    ]


def answers(store: Store, household_id: str, acting: list[Act]) -> list[object]:
    """What one transaction answers: to every act, then to every question, inside it and after it."""
    given_back: list[object] = []
    with store.writing(household_id) as writing:
        for act in acting:
            try:
                given_back.append(act(writing))
            except SteadingError as error:
                given_back.append(str(error))
        given_back.append(everything(writing))
    with store.reading(household_id) as reading:
        return [*given_back, everything(reading)]


@settings(max_examples=60, deadline=None)
@given(script=transactions)
def test_every_script_gives_the_same_answers(
    script: list[tuple[str, list[Act]]], tmp_path_factory: pytest.TempPathFactory
) -> None:
    memory = MemoryStore()
    url = f"sqlite:///{tmp_path_factory.mktemp('agree') / 'home.db'}"
    lay_out(url)
    with closing(open_store(url)) as store:
        for household_id, acting in script:
            assert answers(store, household_id, acting) == answers(memory, household_id, acting)
