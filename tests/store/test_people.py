"""Who wrote each row, and who there is, over every store."""

from __future__ import annotations

from contextlib import suppress
from datetime import timedelta
from typing import TYPE_CHECKING

from coach.ground.people import Code, Session, SignIn
from coach.ground.plan_rows import PlanRow
from coach.progress.log import Row, What
from store.tern_street import HOME, HOUSEHOLD, NOW, begin, day

if TYPE_CHECKING:
    from coach.ground.ports import Store

EARLY = NOW - timedelta(hours=4)
LATER = NOW + timedelta(days=30)


def moved_in(store: Store) -> None:
    """A household with two members, Ben first."""
    begin(store)
    with store.people_writing() as people:
        for number, (person, name, role) in enumerate((("b", "Ben", "keeper"), ("a", "Ana", "member"))):
            people.add_person(person, name, NOW)
            people.put_member(HOME, person, role, NOW + timedelta(minutes=number))  # type: ignore[arg-type]  # a role


def marked(store: Store, what: What, by: str, **more: object) -> None:
    with store.writing(HOME) as writing:
        writing.append([Row(day(1), what, "bed-made")], NOW, by=by, **more)  # type: ignore[arg-type]  # as append takes it


def session(person: str, name: str = "phone") -> Session:
    return Session(f"id-{name}", HOME, person, "browser", "write", name, NOW, NOW, LATER)


def test_members_come_in_the_order_in_which_they_joined_and_are_counted(store: Store) -> None:
    begin(store)
    with store.reading(HOME) as reading:
        assert (reading.members(), reading.household().members) == ([], 0)  # type: ignore[union-attr]  # it has begun
    moved_in_after(store)
    with store.reading(HOME) as reading:
        assert [member.name for member in reading.members()] == ["Ben", "Ana"]
        assert reading.household().members == 2  # type: ignore[union-attr]  # the same
    assert store.version(HOME).members == 2  # type: ignore[union-attr]  # the same


def moved_in_after(store: Store) -> None:
    with store.people_writing() as people:
        people.add_person("b", "Ben", NOW)
        people.put_member(HOME, "b", "keeper", NOW)
        people.add_person("a", "Ana", NOW)
        people.put_member(HOME, "a", "member", NOW + timedelta(minutes=1))


def test_the_last_row_of_a_line_says_who_wrote_it_when_and_which_version_it_made(store: Store) -> None:
    moved_in(store)
    marked(store, What.KEPT, "b")
    marked(store, What.CLEAR, "a", tapped_at=EARLY)
    version = store.version(HOME).version  # type: ignore[union-attr]  # it has begun
    with store.reading(HOME) as reading:
        (found,) = reading.signed(day(1), day(1))
        assert (found.what, found.by, found.at, found.version) == (What.CLEAR, "a", EARLY, version)
        assert reading.signed(day(2), day(9)) == []
        assert [marked.at for marked in reading.marked_at(day(1))] == [NOW]


def test_people_are_named_by_their_keys_when_they_have_left_too(store: Store) -> None:
    moved_in(store)
    with store.people_writing() as people:
        people.drop_member(HOME, "a")
    with store.reading(HOME) as reading:
        assert [member.name for member in reading.members()] == ["Ben"]
        assert reading.names_of({"a", "b", "nobody"}) == {"a": "Ana", "b": "Ben"}


def test_rows_are_named_and_those_of_an_import_are_nobodys(store: Store) -> None:
    moved_in(store)
    marked(store, What.KEPT, "b")
    marked(store, What.SMALL, "")
    with store.reading(HOME) as reading:
        assert reading.names()[-2:] == ["Ben", ""]
        rows = list(reading.rows())
    with store.writing(HOME) as writing:
        writing.replace_log(HOUSEHOLD, rows, NOW)
    with store.reading(HOME) as reading:
        assert set(reading.names()) == {""}
        assert [(one.by, one.version) for one in reading.signed(day(1), day(1))] == [("", None)]


def test_what_is_planned_has_who_planned_it_and_is_read_as_before(store: Store) -> None:
    moved_in(store)
    with store.writing(HOME) as writing:
        assert writing.put_plan([PlanRow(day(1), "todo", "1", '"soup"')], NOW, by="a")
    with store.reading(HOME) as reading:
        assert reading.plan_all() == [("todo", "1", '"soup"')]


def test_a_session_is_found_with_its_person_until_it_or_the_member_goes(store: Store) -> None:
    moved_in(store)
    with store.people_writing() as people:
        people.add_session("hash-b", session("b"))
        people.add_session("hash-a", session("a", "tablet"))
    shown = store.shown("hash-b")
    assert shown is not None
    assert (shown.name, shown.role, shown.session) == ("Ben", "keeper", session("b"))
    with store.people_writing() as people:
        people.drop_session(HOME, "id-tablet")
        people.drop_member(HOME, "b")
    assert store.shown("hash-a") is None
    gone = store.shown("hash-b")
    assert gone is None or gone.role is None


def test_a_household_shown_anew_has_a_new_version_once_its_people_change(store: Store) -> None:
    moved_in(store)
    before = store.version(HOME).version  # type: ignore[union-attr]  # it has begun
    with store.people_writing() as people:
        people.put_member(HOME, "a", "keeper", NOW)
    assert store.version(HOME).version > before  # type: ignore[union-attr]  # the same


def test_codes_wrong_tries_and_what_happened_at_the_door_are_kept(store: Store) -> None:
    moved_in(store)
    with store.people_writing() as people:
        people.put_code("hash", Code(HOME, "pairing", "", "b", 1, 0, NOW, LATER))
        people.wrong(HOME, "pairing", NOW)
        people.put_tally("192.168.50.7", NOW, 3)
        for number in range(3):
            people.add_sign_in(HOME, SignIn(NOW + timedelta(seconds=number), "pairing", "let in"), 2)
    with store.people_reading() as people:
        found = people.code("hash")
        assert (found and found.wrong, people.tally("192.168.50.7")) == (1, (NOW, 3))
        assert [one.at for one in people.sign_ins(HOME, 9)] == [
            NOW + timedelta(seconds=2),
            NOW + timedelta(seconds=1),
        ]
    with store.people_writing() as people:
        people.clear(HOME)
    with store.people_reading() as people:
        assert (people.codes(HOME), people.members(HOME), people.sign_ins(HOME, 9)) == ([], [], [])


def test_a_transaction_about_people_that_fails_writes_nothing(store: Store) -> None:
    begin(store)
    with suppress(KeyError), store.people_writing() as people:
        people.add_person("b", "Ben", NOW)
        people.put_member(HOME, "b", "keeper", NOW)
        names: dict[str, str] = {}
        people.rename("b", names["nobody"])
    with store.people_reading() as people:
        assert people.members(HOME) == []
