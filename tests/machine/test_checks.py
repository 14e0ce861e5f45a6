from __future__ import annotations

import shlex
from datetime import timedelta
from ipaddress import ip_address
from typing import TYPE_CHECKING

import pytest

from coach.machine import authority, checks
from coach.machine.addresses import Address
from coach.machine.authority import KEY_FILE
from coach.machine.clock import EARLIEST
from coach.machine.leaf import LEAF_FILE
from coach.machine.tls import HouseholdTls
from machine.places import HOME, NOW, copied, household

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime
    from pathlib import Path

    from coach.machine.authority import Authority
    from coach.machine.findings import Told


def wrong(told: Iterable[Told]) -> list[str]:
    """What has to be mended, each with how."""
    return [f"{one.text} {one.mend}" for one in told if one.is_wrong]


def test_a_clock_that_nothing_speaks_against_is_well() -> None:
    past = {"the newest row was written": NOW, "a file was written": NOW + timedelta(minutes=4), "none": None}
    assert wrong(checks.time_of_day(NOW, past)) == []


@pytest.mark.parametrize(
    ("now", "said"),
    [
        (EARLIEST - timedelta(seconds=1), "which is long over"),
        (NOW - timedelta(minutes=6), "and the newest row was written at"),
    ],
)
def test_a_clock_that_is_behind_is_found(now: datetime, said: str) -> None:
    (found,) = wrong(checks.time_of_day(now, {"the newest row was written": NOW}))
    assert said in found
    assert "Set the clock" in found


def certificate(folder: Path, now: datetime = NOW, *more: Address) -> list[str]:
    return wrong(checks.certificate(folder, (*HOME, *more), now))


@pytest.fixture
def made(home: Authority, tmp_path: Path) -> HouseholdTls:
    """An authority and a certificate in a folder that may be spoilt."""
    return HouseholdTls(copied(home, tmp_path), HOME, NOW)


def test_no_authority_is_nothing_wrong_and_none_is_made(tmp_path: Path) -> None:
    assert certificate(tmp_path / "certificates") == []
    assert not (tmp_path / "certificates").exists()


def test_a_good_certificate_is_well(made: HouseholdTls) -> None:
    assert certificate(made.authority.folder) == []


def test_a_look_changes_nothing(made: HouseholdTls) -> None:
    before = {one.name: one.read_bytes() for one in made.authority.folder.iterdir()}
    certificate(made.authority.folder, made.leaf.until)
    assert before == {one.name: one.read_bytes() for one in made.authority.folder.iterdir()}


def test_a_missing_address_and_a_late_date_are_found(made: HouseholdTls) -> None:
    folder = made.authority.folder
    (lacks,) = certificate(folder, NOW, Address(ip_address("10.0.0.9"), "eth0"))
    assert "it lacks 10.0.0.9" in lacks
    (late,) = certificate(folder, made.leaf.until - timedelta(days=29))
    assert f"good until {made.leaf.until:%Y-%m-%d}" in late
    assert "no phone has to be asked" in late


@pytest.mark.parametrize(
    ("left", "said"), [(timedelta(days=89), "is good only until"), (timedelta(-1), "was good until")]
)
def test_an_authority_that_ends_is_found(tmp_path: Path, left: timedelta, said: str) -> None:
    kept = household(tmp_path)
    (found,) = certificate(kept.folder, kept.until - left)
    assert said in found
    assert "each phone has to trust" in found


def test_an_authority_that_begins_in_the_future_is_found(tmp_path: Path) -> None:
    kept = authority.open_or_make(tmp_path / "certificates", NOW + timedelta(days=1000))
    (found,) = certificate(kept.folder)
    assert "which is still to come" in found


def test_keys_that_cannot_be_used_are_found_with_what_to_do(made: HouseholdTls) -> None:
    (made.authority.folder / LEAF_FILE).write_text("no key")
    (found,) = certificate(made.authority.folder)
    assert "is damaged" in found
    assert "makes another by itself" in found
    (made.authority.folder / KEY_FILE).write_text("no key")
    (found,) = certificate(made.authority.folder)
    assert "is damaged" in found
    assert "from a backup" in found


def test_folders_that_others_may_look_into_are_found(tmp_path: Path) -> None:
    private, wide, file = tmp_path / "private", tmp_path / "it's wide", tmp_path / "home.db"
    private.mkdir(mode=0o700)
    wide.mkdir(mode=0o750)
    file.write_text("")
    file.chmod(0o604)
    found = wrong(checks.folders([private, wide, file, tmp_path / "none"]))
    closing = [shlex.split(one.partition("Close it: ")[2]) for one in found]
    assert closing == [["chmod", "700", str(wide)], ["chmod", "600", str(file)]]
    assert wrong(checks.folders([private])) == []
