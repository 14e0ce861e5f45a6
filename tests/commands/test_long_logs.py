"""A log with hundreds of thousands of faulty rows is refused in few words and little memory."""

from __future__ import annotations

import json
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from commands.running import PATIENCE, served

if TYPE_CHECKING:
    from subprocess import Popen

MEBIBYTE = 1024 * 1024
MOST = 200 * MEBIBYTE
UNREADABLE, UNKNOWN = 300_000, 100_000
HEADER = "date,what,step,value\n2027-01-04,start,bed-made,\n"
LOG = HEADER + "x\n" * UNREADABLE + "2027-01-05,kept,no-such-step,\n" * UNKNOWN

# The peak of the process itself: what resource.getrusage says begins with that of the one that started it.
RUN = """
import sys
from coach.cli import main
status = main(sys.argv[1:])
peak = [line for line in open("/proc/self/status") if line.startswith("VmHWM")]
print(peak[0].split()[1])
sys.exit(status)
"""

pytestmark = pytest.mark.skipif(
    not Path("/proc/self/status").exists(), reason="the peak of a process is read from /proc"
)


def peak_of(process: Popen[str]) -> int:
    """The most memory a process has held so far, in bytes."""
    lines = Path(f"/proc/{process.pid}/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) * 1024 for line in lines if line.startswith("VmHWM"))


@pytest.mark.parametrize(
    ("command", "faults"),
    [
        (["import", "LOG", "--database", "DATABASE", "--today", "2027-01-10"], UNREADABLE + UNKNOWN),
        (["replay", "LOG", "--course", "three-weeks", "--on", "2027-01-10"], UNREADABLE),
    ],
    ids=["import", "replay"],
)
def test_a_command_names_the_first_fifty_faults_and_counts_the_rest(
    tmp_path: Path, command: list[str], faults: int
) -> None:
    log = tmp_path / "log.csv"
    log.write_text(LOG)
    places = {"LOG": str(log), "DATABASE": f"sqlite:///{tmp_path / 'home.db'}"}
    given = [places.get(argument, argument) for argument in command]
    ended = subprocess.run(
        [sys.executable, "-c", RUN, *given], capture_output=True, text=True, check=False, timeout=300
    )
    said = ended.stderr.splitlines()
    assert (ended.returncode, len(said)) == (2, 51)
    assert said[0].startswith("coach: log.csv:3: ")
    assert said[-1] == f"coach: and {faults - 50} more faults, {faults} in all"
    assert int(ended.stdout) * 1024 < MOST


def test_the_service_answers_such_a_log_in_less_than_a_mebibyte(tmp_path: Path) -> None:
    with served("serve", "--database", f"sqlite:///{tmp_path / 'home.db'}", "--today", "2027-01-10") as home:
        request = urllib.request.Request(  # noqa: S310  our own address
            f"{home.address}/api/log.csv", LOG.encode(), {"Content-Type": "text/csv"}, method="POST"
        )
        with pytest.raises(urllib.error.HTTPError) as refused:
            urllib.request.urlopen(request, timeout=10 * PATIENCE)  # noqa: S310  the same
        body = refused.value.read()
        refused.value.close()
        assert peak_of(home.process) < MOST
    answer = json.loads(body)
    assert len(body) < MEBIBYTE
    assert (len(answer["faults"]), answer["more"]) == (50, UNREADABLE + UNKNOWN - 50)
    assert answer["detail"] == (
        f"Nothing was taken over: the file has {UNREADABLE + UNKNOWN} faults. The first 50 are listed."
    )
