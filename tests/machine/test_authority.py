from __future__ import annotations

import hashlib
import os
import re
import ssl
import stat
import subprocess
import sys
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec

from coach.errors import NotReady
from coach.machine import authority
from coach.machine.authority import KEY_FILE, PUBLIC_FILE
from coach.machine.key_files import write_once
from machine.places import NOW, copied, household

if TYPE_CHECKING:
    from pathlib import Path

    from coach.machine.authority import Authority

MAKE = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from coach.machine import authority
sys.stdin.readline()
print(*authority.open_or_make(Path(sys.argv[1]), datetime.now(UTC)).fingerprint)
"""


def mode(path: Path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def test_it_is_made_once_and_found_again(tmp_path: Path) -> None:
    made = household(tmp_path)
    assert household(tmp_path).pem == made.pem
    assert (made.folder / PUBLIC_FILE).read_bytes() == made.pem


def test_its_name_tells_two_homes_apart(home: Authority, tmp_path: Path) -> None:
    other = household(tmp_path)
    assert re.fullmatch(rf"Steading household authority [BCDFGHJKLMNPQRSTVWXZ]{{4}} {NOW.year}", home.name)
    assert other.name != home.name


def test_its_fingerprint_is_in_pairs_as_phones_show_it(home: Authority) -> None:
    lines = home.fingerprint
    assert [len(line.split()) for line in lines] == [8, 8, 8, 8]
    der = ssl.PEM_cert_to_DER_cert((home.folder / PUBLIC_FILE).read_text())
    assert "".join(lines).replace(" ", "") == hashlib.sha256(der).hexdigest().upper()
    assert der == home.der


def test_it_is_for_its_owner_alone_and_good_for_ten_years(home: Authority) -> None:
    assert mode(home.folder) == 0o700
    assert mode(home.folder / KEY_FILE) == 0o600
    assert home.until - home.since == timedelta(days=3650)
    assert home.since < NOW - timedelta(minutes=59)


def test_a_wide_umask_and_a_missing_folder_change_nothing_of_that(tmp_path: Path) -> None:
    before = os.umask(0)
    try:
        made = household(tmp_path / "data" / "steading")
    finally:
        os.umask(before)
    assert mode(tmp_path / "data" / "steading") == 0o700
    assert mode(made.folder / KEY_FILE) == 0o600


def test_a_folder_that_was_open_to_others_is_narrowed(tmp_path: Path) -> None:
    (tmp_path / "certificates").mkdir(mode=0o755)
    assert mode(household(tmp_path).folder) == 0o700


def test_processes_that_start_together_make_one(tmp_path: Path) -> None:
    folder = tmp_path / "certificates"
    starting = [
        subprocess.Popen(
            [sys.executable, "-c", MAKE, str(folder)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for _ in range(2)
    ]
    for one in starting:
        assert one.stdin is not None
        one.stdin.write("\n")
        one.stdin.flush()
    told = {one.communicate(timeout=60)[0] for one in starting}
    assert len(told) == 1
    assert len(told.pop().split()) == 32
    assert sorted(one.name for one in folder.iterdir()) == [KEY_FILE, PUBLIC_FILE]


def test_whoever_comes_second_changes_nothing(tmp_path: Path) -> None:
    write_once(tmp_path / "a.pem", b"first")
    write_once(tmp_path / "a.pem", b"second")
    assert (tmp_path / "a.pem").read_bytes() == b"first"
    assert [one.name for one in tmp_path.iterdir()] == ["a.pem"]


def test_what_a_killed_process_left_is_removed_and_what_another_writes_is_not(tmp_path: Path) -> None:
    old, new = (tmp_path / f".a.pem.{sign * 16}.part" for sign in "01")
    for one in (old, new):
        one.write_bytes(b"half")
    hours_ago = (NOW - timedelta(hours=2)).timestamp()
    os.utime(old, (hours_ago, hours_ago))
    write_once(tmp_path / "a.pem", b"whole")
    assert sorted(one.name for one in tmp_path.iterdir()) == [new.name, "a.pem"]


def refused(folder: Path, now: datetime = NOW) -> str:
    """What is said of a folder, which stays as it is."""
    before = {one.name: one.read_bytes() for one in folder.iterdir()} if folder.is_dir() else {}
    with pytest.raises(NotReady) as found:
        authority.open_or_make(folder, now)
    assert before == ({one.name: one.read_bytes() for one in folder.iterdir()} if before else {})
    return str(found.value)


def test_a_key_that_others_may_read_is_refused(home: Authority, tmp_path: Path) -> None:
    folder = copied(home, tmp_path)
    (folder / KEY_FILE).chmod(0o640)
    assert "chmod 600" in refused(folder)


def test_a_damaged_key_is_refused_and_not_replaced(home: Authority, tmp_path: Path) -> None:
    folder = copied(home, tmp_path)
    key = folder / KEY_FILE
    key.write_bytes(key.read_bytes()[:200])
    assert "is damaged" in refused(folder)
    key.write_bytes(b"")
    assert "is damaged" in refused(folder)


def test_the_certificate_of_another_key_is_refused(home: Authority, tmp_path: Path) -> None:
    folder = copied(home, tmp_path)
    other = ec.generate_private_key(ec.SECP256R1())
    (folder / KEY_FILE).write_bytes(authority.joined(other, home.certificate))
    assert "belongs to another key" in refused(folder)


def test_a_certificate_that_may_not_sign_is_refused(home: Authority, tmp_path: Path) -> None:
    folder = copied(home, tmp_path)
    plain = (
        x509.CertificateBuilder(home.certificate.subject, home.certificate.subject)
        .public_key(home.key.public_key())
        .serial_number(1)
        .not_valid_before(NOW)
        .not_valid_after(NOW + timedelta(days=1))
        .sign(home.key, hashes.SHA256())
    )
    (folder / KEY_FILE).write_bytes(authority.joined(home.key, plain))
    assert "may not sign others" in refused(folder)


def test_one_that_is_over_is_refused_with_its_date(home: Authority) -> None:
    said = refused(home.folder, home.until + timedelta(seconds=1))
    assert f"was good until {home.until:%Y-%m-%d}" in said
    assert "move it away" in said
    assert authority.open_or_make(home.folder, home.until).pem == home.pem


def test_none_is_made_by_a_clock_that_has_lost_its_time(tmp_path: Path) -> None:
    said = refused(tmp_path / "certificates", datetime(1970, 1, 1, 0, 3, tzinfo=NOW.tzinfo))
    assert "clock says 1970-01-01 00:03 UTC" in said
    assert not (tmp_path / "certificates" / KEY_FILE).exists()


def test_a_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "certificates").write_text("no folder")
    with pytest.raises(NotReady, match="COACH_TLS_FOLDER"):
        household(tmp_path)


def test_a_disk_that_takes_nothing_is_said_and_nothing_is_left(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("coach.machine.key_files.os.fsync", full)
    with pytest.raises(NotReady, match="No space left on device"):
        household(tmp_path)
    assert list((tmp_path / "certificates").iterdir()) == []
