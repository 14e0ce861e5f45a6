"""Codes, wrong tries and names without any web: what holds, what is counted, and what is the same."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime, timedelta

import pytest

from coach.errors import Malformed, NotEditable, TooOften, Unknown, WrongCode
from coach.ground.people import Caller
from coach.ground.ports import Context
from coach.household import codes, paired, people, tokens
from coach.household.devices import new_session
from coach.household.names import is_same, tidy_name
from coach.household.pairing import Pairing, names, pair
from coach.household.tries import FROM_ALL, FROM_ONE_ADDRESS, WRITTEN_DOWN, too_often
from coach.store.memory import MemoryStore

HOME = "home"
MACHINE = Caller(HOME, "keeper")
PHONE = Caller(HOME, address="192.168.50.7")
NOON = datetime(2027, 1, 4, 12, tzinfo=UTC)


@dataclass
class Door:
    """A household's door without a database, with a clock that a test can move."""

    now: datetime = NOON
    store: MemoryStore = field(default_factory=MemoryStore)

    @property
    def context(self) -> Context:
        """What use cases are given; nothing of a course is asked for here."""
        return Context(self.store, None, lambda: self.now)  # type: ignore[arg-type]  # no lessons

    def paired(self, name: str, by: Caller = MACHINE) -> Caller:
        """Somebody with a device, who comes a minute after the one before."""
        self.now += timedelta(minutes=1)
        code = codes.new_code(self.context, by).code
        found = pair(self.context, PHONE, Pairing(code, name, "phone"))
        [member] = [one for one in self.store.kept.members_of(HOME) if one.person == found.person]
        return Caller(HOME, member.role, member.person, member.name, found.session, PHONE.address)

    def wrong(self, times: int, address: str = PHONE.address, code: str = "BBBBBBBB") -> None:
        """So many wrong codes."""
        for _ in range(times):
            with pytest.raises(WrongCode):
                names(self.context, replace(PHONE, address=address), code)

    def counts(self) -> dict[str, tuple[datetime, int]]:
        """What is counted."""
        return self.store.kept.tallies


def test_the_eleventh_wrong_code_from_one_address_waits_and_others_do_not() -> None:
    door = Door()
    door.wrong(FROM_ONE_ADDRESS)
    code = codes.new_code(door.context, MACHINE).code
    with pytest.raises(TooOften) as waits:
        names(door.context, PHONE, code)
    assert waits.value.seconds == 600
    assert names(door.context, replace(PHONE, address="192.168.50.8"), code).people == ()
    door.now += timedelta(minutes=10)
    later = codes.new_code(door.context, MACHINE).code
    assert names(door.context, PHONE, later).people == ()


def test_many_addresses_together_wait_and_leave_few_counts_and_few_lines_behind() -> None:
    door = Door()
    kept = door.paired("Ana")
    for number in range(FROM_ALL):
        door.wrong(1, f"fd00::{number}")
    with pytest.raises(TooOften):
        names(door.context, replace(PHONE, address="fd00::ffff"), "BBBBBBBB")
    written = [one.outcome for one in paired.at_the_door(door.context, kept, 500)]
    assert sum("wrong" in one for one in written) == WRITTEN_DOWN
    assert "let in" in written
    door.now += timedelta(minutes=11)
    door.wrong(1)
    assert len(door.counts()) == 2


def test_looking_at_the_names_uses_nothing_up_and_a_wrong_look_counts() -> None:
    door = Door()
    door.paired("Ana")
    code = codes.new_code(door.context, MACHINE).code
    door.wrong(4)
    assert [one.name for one in names(door.context, PHONE, code).people] == ["Ana"]
    door.wrong(1)
    with pytest.raises(WrongCode):
        pair(door.context, PHONE, Pairing(code, "Ana"))


def test_one_code_more_than_there_may_be_ends_the_oldest() -> None:
    door = Door()
    made = []
    for _ in range(codes.MOST_CODES + 1):
        door.now += timedelta(seconds=1)
        made.append(codes.new_code(door.context, MACHINE).code)
    with pytest.raises(WrongCode):
        names(door.context, PHONE, made[0])
    assert names(door.context, PHONE, made[1]).people == ()


def test_the_code_of_one_who_was_taken_out_lets_nobody_in() -> None:
    door = Door()
    ana = door.paired("Ana")
    ben = door.paired("Ben")
    code = codes.new_code(door.context, ben).code
    mine = codes.new_code(door.context, ben, for_me=True).code
    people.remove(door.context, ana, ben.person)
    for one in (code, mine):
        with pytest.raises(WrongCode):
            pair(door.context, PHONE, Pairing(one, "Ana"))


def test_a_request_sent_again_is_answered_the_same_and_lets_in_once() -> None:
    door = Door()
    wanted = Pairing(codes.new_code(door.context, MACHINE).code, "Ana", once="a-form")
    first, second = pair(door.context, PHONE, wanted), pair(door.context, PHONE, wanted)
    assert first == second
    assert first.secret == second.secret
    assert len(door.store.kept.sessions) == 1


def test_devices_that_are_over_are_forgotten_when_another_comes() -> None:
    door = Door()
    door.paired("Ana")
    door.now += timedelta(days=91)
    door.paired("Ana")
    assert len(door.store.kept.sessions) == 1


def test_a_quiet_program_is_let_in_until_its_date_and_not_listed_after() -> None:
    door = Door()
    ana = door.paired("Ana")
    tokens.new_token(door.context, ana, "backup", "read")
    door.now += timedelta(days=364)
    assert len(tokens.tokens(door.context, ana).tokens) == 1
    door.now += timedelta(days=1)
    assert tokens.tokens(door.context, ana).tokens == ()


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Ana", "ANA"),
        ("Zoe\u0308", "Zo\u00eb"),
        ("\uff22en", "Ben"),
        ("Strasse", "Straße"),
        ("Ana", "Ana\u200d"),
        ("Ana", "A\u200cna"),
    ],
)
def test_names_that_look_alike_are_one(one: str, other: str) -> None:
    assert is_same(tidy_name(one), tidy_name(other))
    door = Door()
    assert door.paired(one).person == door.paired(other).person


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("  Ana \n Maria ", "Ana Maria"),
        ("\u202eAna\u200b", "Ana"),
        ("\u200b\u2060", ""),
        ("\u200d", ""),
        ("क्\u200dष", "क्\u200dष"),
        ("\ud800", ""),
    ],
)
def test_a_name_is_kept_without_what_cannot_be_seen(typed: str, kept: str) -> None:
    assert tidy_name(typed) == kept


def test_a_name_has_sixty_characters_at_most() -> None:
    assert len(tidy_name("x" * 60)) == 60
    with pytest.raises(Malformed, match="at most 60"):
        tidy_name("x" * 61)


def test_the_last_keeper_can_neither_step_down_nor_go() -> None:
    door = Door()
    ana = door.paired("Ana")
    with pytest.raises(NotEditable, match="Ana is the only keeper"):
        people.change(door.context, MACHINE, ana.person, role="member")
    with pytest.raises(NotEditable, match="Ana is the only keeper"):
        people.remove(door.context, MACHINE, ana.person)


def test_nothing_of_another_household_is_there_for_its_keeper() -> None:
    door = Door()
    ana = door.paired("Ana")
    with door.store.people_writing() as writing:
        writing.add_person("olga", "Olga", NOON)
        writing.put_member("other", "olga", "keeper", NOON)
        writing.add_session("hash", new_session("other", "olga", "phone", NOON))
    olga = Caller("other", "keeper", "olga", "Olga")
    assert ana.session is not None
    for ask in (
        lambda: paired.end(door.context, olga, ana.session.id),
        lambda: paired.rename(door.context, olga, ana.session.id, "mine"),
        lambda: people.change(door.context, olga, ana.person, name="Mine"),
        lambda: people.remove(door.context, olga, ana.person),
    ):
        with pytest.raises(Unknown):
            ask()
    assert [one.name for one in people.people(door.context, olga).people] == ["Olga"]


@pytest.mark.parametrize(
    "typed",
    [
        "bcdfghjk",
        " BCDF-GHJK ",
        "B C D F G H J K",
        "http://10.0.0.1/pair#BCDFGHJK",
        "\uff22\uff23\uff24\uff26\uff27\uff28\uff2a\uff2b",
    ],
)
def test_a_code_is_read_however_it_is_typed(typed: str) -> None:
    assert codes.typed(typed) == "BCDFGHJK"


@pytest.mark.parametrize(("seconds", "said"), [(20, "Wait 1 minute,"), (541, "Wait 10 minutes,")])
def test_how_long_to_wait_is_said_in_words(seconds: int, said: str) -> None:
    assert said in str(too_often(seconds))
