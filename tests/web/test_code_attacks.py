"""What codes and sessions stand: guessing, fixing a session beforehand, using somebody else's code."""

from __future__ import annotations

import math
import secrets
from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from coach.errors import TooOften, WrongCode
from coach.ground.people import Caller, SignIn
from coach.household import codes, devices, pairing, tries
from coach.household.devices import hashed
from web.attacked import Attacked, cookie, is_unpaired, secret_of

if TYPE_CHECKING:
    from collections.abc import Iterator


@pytest.fixture(scope="module")
def attacked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Attacked]:
    house = Attacked(tmp_path_factory.mktemp("guessed"))
    yield house
    house.close()


@pytest.fixture
def home(attacked: Attacked) -> Attacked:
    """The same house, whose door has forgotten what was guessed before."""
    attacked.forget_guesses()
    return attacked


def test_a_secret_that_was_set_before_pairing_is_not_taken_over(home: Attacked) -> None:
    chosen = "c" * 43
    with home.bare() as phone:
        sent = {"code": home.code(), "name": "Ben", "device": "phone"}
        answer = phone.post("/api/pair", json=sent, headers=cookie(chosen))
        assert answer.status_code == 201
        assert secret_of(phone) != chosen
        assert is_unpaired(home.bare().get("/api/today", headers=cookie(chosen)))


def test_pairing_anew_ends_what_the_browser_showed_before(home: Attacked) -> None:
    with home.paired("Ben") as ben:
        before = secret_of(ben)
        sent = {"code": home.code(), "name": "Ben", "device": "phone"}
        assert ben.post("/api/pair", json=sent).status_code == 201
        assert secret_of(ben) != before
        assert ben.get("/api/today").status_code == 200
        assert is_unpaired(home.bare().get("/api/today", headers=cookie(before)))


def test_a_program_that_is_let_in_from_a_browser_leaves_the_browser_in(home: Attacked) -> None:
    with home.paired("Ben") as ben:
        sent = {"code": home.code(), "name": "Ben", "device": "script", "token": "write"}
        assert ben.post("/api/pair", json=sent).status_code == 201
        assert ben.get("/api/today").status_code == 200


def _answer(home: Attacked, code: str, number: int) -> tuple[int, str]:
    answer = home.bare(number).post("/api/pair", json={"code": code, "name": "Ana"})
    return answer.status_code, answer.text


def test_a_code_that_never_was_is_answered_as_one_that_was(
    home: Attacked, monkeypatch: pytest.MonkeyPatch
) -> None:
    used, late = home.code(), home.code()
    assert _answer(home, used, 30)[0] == 201
    home.now += timedelta(minutes=pairing.MINUTES)
    home.code()
    tried: list[str] = []
    slow = codes.code_hash

    def counted(code: str) -> str:
        tried.append(code)
        return slow(code)

    monkeypatch.setattr(pairing, "code_hash", counted)
    answers = {_answer(home, code, 31 + number) for number, code in enumerate((used, late, "B" * 8))}
    assert len(answers) == 1
    assert tried == [used, late, "B" * 8]


def _guesses(home: Attacked) -> set[SignIn]:
    """The wrong codes that are written down, each of another address or instant."""
    with home.app.state.context.store.people_reading() as reading:
        return {one for one in reading.sign_ins("home", 10_000) if one.outcome.startswith("wrong code")}


def test_a_thousand_wrong_codes_from_many_addresses_leave_the_household_its_phones(home: Attacked) -> None:
    context, wrong = home.app.state.context, pairing.Pairing("B" * 8, "Ana")
    right, before = home.code(), _guesses(home)
    for number in range(1000):
        caller = Caller("home", address=f"10.0.{number % 100}.7")
        with pytest.raises((WrongCode, TooOften)):
            pairing.pair(context, caller, wrong)
    assert _answer(home, right, 40)[0] == 429, "whoever guesses keeps others from pairing, and gets nothing"
    assert home.ana.get("/api/today").status_code == 200
    assert len(_guesses(home) - before) == tries.WRITTEN_DOWN, (
        "a flood does not wash away what happened before"
    )
    home.now += tries.ADDRESS_SPAN
    assert _answer(home, right, 40)[0] == 403, "the code was ended"
    assert home.ana.get("/api/today").status_code == 200
    assert _answer(home, home.code(home.ana), 41)[0] == 201


def test_while_no_code_holds_a_guess_costs_no_slow_hash(
    home: Attacked, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(pairing, "code_hash", lambda _: pytest.fail("hashed"))
    assert _answer(home, "B" * 8, 50)[0] == 403


def test_a_members_code_lets_nobody_in_as_a_keeper(home: Attacked) -> None:
    for name in ("Ana", "ANA", " ana "):
        answer = home.bare().post("/api/pair", json={"code": home.code(home.ben), "name": name})
        assert (answer.status_code, answer.json()["type"]) == (403, "/problems/not-allowed")
    # A name that only looks like hers is refused, or hers.
    answer = home.bare().post("/api/pair", json={"code": home.code(home.ben), "name": "A\u200bna"})
    assert answer.status_code in {403, 422}


def test_what_was_shown_is_kept_as_a_hash_alone(home: Attacked) -> None:
    secret, store = secret_of(home.ana), home.app.state.context.store
    assert store.shown(secret) is None
    assert store.shown(hashed(secret)) is not None
    assert is_unpaired(home.bare().get("/api/today", headers=cookie(hashed(secret))))


def test_secrets_and_codes_are_drawn_from_the_systems_randomness(
    home: Attacked, monkeypatch: pytest.MonkeyPatch
) -> None:
    """RFC 8628 §6.1: 8 of 20 letters are 34.5 bits; 32 bytes are 256."""
    drawn: list[int | str] = []

    def few(size: int) -> bytes:
        drawn.append(size)
        return b"x" * size

    def first(letters: str) -> str:
        drawn.append(letters)
        return letters[0]

    monkeypatch.setattr(secrets, "token_bytes", few)
    monkeypatch.setattr(secrets, "choice", first)
    devices.new_secret()
    assert home.code() == codes.ALPHABET[0] * 8
    assert drawn == [32, *[codes.ALPHABET] * 8]
    assert 8 * math.log2(len(set(codes.ALPHABET))) > 34
