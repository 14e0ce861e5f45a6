"""A round of the service saves what a coach may see of invented homes, in every store."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from itertools import islice
from typing import TYPE_CHECKING

from coach.coaching.following import Following
from coach.coaching.invented import homes
from coach.coaching.library import FolderLibrary
from coach.coaching.rules.following import saved_through
from coach.ground.groups import NOTHING, Enrolment
from coach.ground.ports import Context
from coach.household import data
from coach.progress.csvform import write_log
from coach.progress.journal import Version, journal

if TYPE_CHECKING:
    from coach.ground.ports import Store

TODAY, NOW = date(2027, 3, 4), datetime(2027, 3, 4, 12, tzinfo=UTC)
SOME = 6


def test_a_round_saves_those_that_may_be_seen_and_no_others(store: Store) -> None:
    library = FolderLibrary()
    context = Context(store, library, lambda: NOW)
    course = library.course("three-weeks")
    some = list(islice(homes(course, TODAY), 0, 3 * SOME, 3))
    for home in some:
        data.load(context, home.name, write_log(home.log))
        until = None if home.level == NOTHING else TODAY + timedelta(days=100)
        with store.writing(home.name) as writing:
            writing.put_enrolment(Enrolment(home.name, home.name, "g", NOW, home.level, NOW, until))
    rounds = Following()
    assert list(rounds.round(context, NOW)) == []
    assert list(rounds.round(context, NOW)) == []
    assert {home.level == NOTHING for home in some} == {True, False}
    for home in some:
        whole = saved_through(journal([Version(date.min, course)], home.log), TODAY - timedelta(days=1))
        assert whole is not None
        with store.reading(home.name) as reading:
            followed, spells = reading.followed(), reading.saved_spells()
        if home.level == NOTHING:
            assert (followed, list(spells)) == (None, [])
        else:
            assert followed == whole.followed
            assert set(spells) == set(whole.spells)
