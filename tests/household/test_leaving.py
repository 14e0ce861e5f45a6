"""A household leaves with everything that is its own, and lives on elsewhere as if it had not moved."""

from __future__ import annotations

import io
import json
import zipfile
from contextlib import closing
from typing import TYPE_CHECKING, Any

import pytest

from coach.errors import AlreadyStarted, FaultyFile, Malformed
from coach.ground.people import Code, Session
from coach.household import adopting, home_file_reading, leaving
from coach.store.memory import MemoryStore
from coach.store.opening import open_store
from household.moving import HOME, HOSTED, NOW, PEOPLE, context_of, move_in, seen

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator
    from pathlib import Path

    from coach.ground.ports import Context


@pytest.fixture(scope="module")
def hosted(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Context]:
    """Tern Street among many homes, in a database."""
    with closing(open_store(f"sqlite:///{tmp_path_factory.mktemp('hosted') / 'many.db'}")) as store:
        yield move_in(store)


@pytest.fixture(scope="module")
def taken(hosted: Context) -> bytes:
    """What it takes along."""
    return leaving.take_along(hosted, HOSTED)


@pytest.fixture
def home(tmp_path: Path) -> Iterator[Context]:
    """A fresh database at home."""
    with closing(open_store(f"sqlite:///{tmp_path / 'home.db'}")) as store:
        yield context_of(store)


def parts(content: bytes) -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(content)) as file:
        return {name: file.read(name) for name in file.namelist()}


def packed(files: dict[str, bytes], how: int = zipfile.ZIP_DEFLATED) -> bytes:
    into = io.BytesIO()
    with zipfile.ZipFile(into, "w", how) as file:
        for name, content in files.items():
            file.writestr(name, content)
    return into.getvalue()


def changed(content: bytes, part: str, change: Callable[[Any], Any]) -> bytes:
    """The file with a part of it that is JSON changed."""
    files = parts(content)
    return packed({**files, part: json.dumps(change(json.loads(files[part]))).encode()})


def test_the_adopted_home_shows_what_the_hosted_one_shows(
    hosted: Context, taken: bytes, home: Context
) -> None:
    found = adopting.adopt(home, HOME, taken)
    assert seen(home, HOME) == seen(hosted, HOSTED)
    assert (found.people, found.kept) == (3, None)


def test_its_people_keep_their_keys_and_whoever_had_left_stays_away(taken: bytes, home: Context) -> None:
    adopting.adopt(home, HOME, taken)
    with home.store.reading(HOME) as reading:
        assert [(one.person, one.role) for one in reading.members()] == [
            ("p-ana", "keeper"),
            ("p-ben", "member"),
        ]
        assert reading.names_of(PEOPLE) == PEOPLE


def test_the_history_of_the_plan_and_every_instant_come_along(
    hosted: Context, taken: bytes, home: Context
) -> None:
    adopting.adopt(home, HOME, taken)
    with hosted.store.reading(HOSTED) as theirs, home.store.reading(HOME) as ours:
        assert list(ours.written_rows()) == list(theirs.written_rows())
        assert list(ours.planned_rows()) == list(theirs.planned_rows())
        assert len({one.by for one in ours.written_rows()}) == 4


def test_the_same_household_gives_the_same_bytes_and_so_does_the_adopted_one(
    hosted: Context, taken: bytes, home: Context
) -> None:
    adopting.adopt(home, HOME, taken)
    assert leaving.take_along(hosted, HOSTED) == taken == leaving.take_along(home, HOME)


def test_the_log_in_it_is_that_of_every_export(taken: bytes) -> None:
    first, *rows = parts(taken)["log.csv"].decode().splitlines()
    assert first == "date,what,step,value,by"
    assert [row.rpartition(",")[2] for row in rows[-3:]] == ["Ana", "Ben", "Cleo"]


def test_nothing_that_lets_somebody_in_is_in_it(hosted: Context) -> None:
    secret = "5" * 64
    with hosted.store.people_writing() as writing:
        lasting = (NOW, NOW, NOW.replace(year=2028))
        writing.add_session(secret, Session("s-1", HOSTED, "p-ana", "browser", "write", "phone-9", *lasting))
        writing.put_code(f"6{secret}", Code(HOSTED, "pairing", "p-ana", "p-ana", 1, 0, NOW, NOW))
    whole = b"".join(parts(leaving.take_along(hosted, HOSTED)).values()).decode()
    assert not any(word in whole for word in (secret, "s-1", "phone-9"))


def test_a_database_with_a_household_is_left_alone(taken: bytes, home: Context) -> None:
    adopting.adopt(home, HOME, taken)
    before = leaving.take_along(home, HOME)
    with pytest.raises(AlreadyStarted, match="--replace"):
        adopting.adopt(home, HOME, taken)
    assert leaving.take_along(home, HOME) == before


def test_a_home_that_is_replaced_is_kept(taken: bytes, home: Context) -> None:
    adopting.adopt(home, HOME, taken)
    found = adopting.adopt(home, HOME, taken, instead=True)
    assert found.kept is not None
    assert found.kept.before == "import"


def test_it_lives_in_memory_too(hosted: Context, taken: bytes) -> None:
    other = context_of(MemoryStore())
    adopting.adopt(other, HOME, taken)
    assert seen(other, HOME) == seen(hosted, HOSTED)


@pytest.mark.parametrize(
    ("part", "content"),
    [
        ("home.json", b"[" + b"[]," * 1_000_000 + b"[]]"),
        ("plan.json", b"[" + b'{"":0},' * 1_100_000 + b"{}]"),
        ("log.csv", b"date,what,step,value\n" + b"\n" * 200_001),
    ],
)
def test_what_would_fill_the_memory_once_it_is_read_is_not_read(
    taken: bytes, home: Context, monkeypatch: pytest.MonkeyPatch, part: str, content: bytes
) -> None:
    """Packed it has some thousands of bytes."""
    was_read: list[int] = []
    loads = json.loads

    def counted(text: bytes) -> Any:  # noqa: ANN401  JSON of any shape
        was_read.append(len(text))
        return loads(text)

    monkeypatch.setattr(json, "loads", counted)
    with pytest.raises(Malformed, match=r"more (values|lines) than are read"):
        adopting.adopt(home, HOME, packed({**parts(taken), part: content}))
    assert len(content) not in was_read


HOSTILE: dict[str, Callable[[bytes], bytes]] = {
    "no ZIP": lambda _: b"date,what,step,value\n",
    "an empty one": lambda _: packed({}),
    "a part twice as long as is read": lambda taken: packed(
        {**parts(taken), "course.zip": b"0" * (home_file_reading.LONGEST_PART + 1)}
    ),
    "many parts": lambda taken: packed({**parts(taken), **{f"{n}": b"" for n in range(600)}}),
    "packed in another way": lambda taken: packed(parts(taken), zipfile.ZIP_LZMA),
    "cut short": lambda taken: taken[: len(taken) // 2],
    "a form of later": lambda taken: changed(taken, "home.json", lambda home: {**home, "form": 2}),
    "a list for a home": lambda taken: changed(taken, "home.json", lambda _: []),
    "brackets without end": lambda taken: packed({**parts(taken), "plan.json": b"[" * 100_000}),
    "a number of many digits": lambda taken: packed({**parts(taken), "plan.json": b"9" * 100_000}),
    "no zone": lambda taken: changed(taken, "home.json", lambda home: {**home, "zone": "Nowhere"}),
    "no versions": lambda taken: changed(taken, "home.json", lambda home: {**home, "versions": []}),
    "a row less": lambda taken: changed(taken, "log-written.json", lambda rows: rows[1:]),
    "an instant without offset": lambda taken: changed(
        taken, "log-written.json", lambda rows: [{**rows[0], "at": "2027-01-04T08:00:00"}, *rows[1:]]
    ),
    "an instant past the last year": lambda taken: changed(
        taken, "log-written.json", lambda rows: [{**rows[0], "at": "9999-12-31T23:59:59-23:59"}, *rows[1:]]
    ),
    "a NUL in a key": lambda taken: changed(
        taken, "plan.json", lambda rows: [{**rows[0], "key": "a\0b"}, *rows[1:]]
    ),
    "half of a character": lambda taken: changed(
        taken, "plan.json", lambda rows: [{**rows[0], "value": "\ud83d"}, *rows[1:]]
    ),
    "another course": lambda taken: changed(taken, "courses/1.json", lambda course: {**course, "digest": ""}),
    "a course without steps": lambda taken: changed(
        taken, "courses/1.json", lambda one: {**one, "steps": []}
    ),
    "two people of one key": lambda taken: changed(
        taken,
        "home.json",
        lambda home: {**home, "people": [{"id": "x", "name": "Ana", "role": None, "since": None}] * 2},
    ),
    "no start": lambda taken: packed(
        {**parts(taken), "log.csv": b"date,what,step,value\n", "log-written.json": b"[]"}
    ),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_wrong_is_refused_whole(name: str, taken: bytes, home: Context) -> None:
    with pytest.raises((Malformed, FaultyFile)):
        adopting.adopt(home, HOME, HOSTILE[name](taken))
    with home.store.reading(HOME) as reading:
        assert reading.household() is None
        assert not reading.members()
        assert not reading.names_of(PEOPLE)


def test_all_faults_are_named_at_once(taken: bytes, home: Context) -> None:
    faulty = changed(taken, "home.json", lambda one: {**one, "zone": "Nowhere"})
    faulty = changed(faulty, "plan.json", lambda rows: [{**rows[0], "date": "never"}, {}, *rows[2:]])
    faulty = packed({**parts(faulty), "log.csv": parts(faulty)["log.csv"] + b"2027-01-20,dance,,,\r\n"})
    with pytest.raises(FaultyFile) as found:
        adopting.adopt(home, HOME, faulty)
    places = [(fault.file, fault.line) for fault in found.value.faults]
    assert ("home.json", None) in places
    assert [place for place in places if place[0] == "plan.json"] == [("plan.json", 2), ("plan.json", 3)]
    assert any(file == "log.csv" for file, _ in places)
