"""`coach pace --cluster`: the same numbers from a cluster, and plain words where there is none."""

from __future__ import annotations

import json
import socket
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from typing import TYPE_CHECKING, Any

import pytest
from distributed import Client

from coach.pace.sizes import LOT
from commands.running import COACH

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

PATIENCE = 60
ASKED = ("--seed", "7", "--adherence-spread", "0.7..0.95", "--drop-a-day", "0.02", "--json")


def pace(*arguments: object) -> subprocess.CompletedProcess[str]:
    """In a process of its own, as the library keeps threads."""
    command = [*COACH, "pace", *ASKED, *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, timeout=2 * PATIENCE, check=False)


def hurried(*arguments: object) -> subprocess.CompletedProcess[str]:
    """The same with two seconds of patience in place of ten."""
    begun = (
        "from coach import cli; from coach.pace import cluster; cluster.PATIENCE_SECONDS = 2; "
        "raise SystemExit(cli.main())"
    )
    command = [sys.executable, "-c", begun, "pace", *ASKED, *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, timeout=2 * PATIENCE, check=False)


@contextmanager
def running(*command: str) -> Iterator[subprocess.Popen[bytes]]:
    process = subprocess.Popen(
        [sys.executable, "-m", *command], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        yield process
    finally:
        process.kill()
        process.wait(PATIENCE)


@contextmanager
def scheduler(folder: Path) -> Iterator[str]:
    """A scheduler on a free loopback port, and its address."""
    file = folder / "scheduler.json"
    with running(
        "distributed.cli.dask_scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard",
        "--scheduler-file", str(file),
    ):  # fmt: skip
        until = time.monotonic() + PATIENCE
        while not file.exists() or not file.read_text(encoding="utf-8").strip():
            assert time.monotonic() < until
            time.sleep(0.05)
        yield json.loads(file.read_text(encoding="utf-8"))["address"]


@contextmanager
def workers(address: str, folder: Path, many: int) -> Iterator[list[subprocess.Popen[bytes]]]:
    """Worker processes, each named for its place, that are there."""
    with ExitStack() as stack:
        found = [
            stack.enter_context(
                running(
                    "distributed.cli.dask_worker", address, "--host", "127.0.0.1", "--no-nanny",
                    "--no-dashboard", "--nthreads", "1", "--name", f"worker-{number}",
                    "--local-directory", str(folder / str(number)),
                )
            )
            for number in range(many)
        ]  # fmt: skip
        with looking(address) as client:
            client.wait_for_workers(many, timeout=PATIENCE)
        yield found


@contextmanager
def looking(address: str) -> Iterator[Any]:
    connect: Any = Client
    with connect(address, timeout=PATIENCE, set_as_default=False) as client:
        yield client


def wait_until_busy(client: Any, name: str) -> str:  # noqa: ANN401  the library has no types
    """Wait until the worker of a name has some work done and some to do; its address."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until:
        for where, worker in client.scheduler_info(n_workers=-1)["workers"].items():
            if (
                worker["name"] == name
                and len(client.processing()[where]) > 1
                and len(client.has_what()[where]) > 1
            ):
                return str(where)
        time.sleep(0.02)
    raise AssertionError(f"{name} was never busy")


def test_a_cluster_gives_the_numbers_of_one_process_though_a_worker_is_killed(tmp_path: Path) -> None:
    asked = ("--households", 24 * LOT, "--days", 40)
    with scheduler(tmp_path) as address, workers(address, tmp_path, 2) as (one, _):
        with ThreadPoolExecutor(1) as pool, looking(address) as client:
            answer = pool.submit(pace, *asked, "--cluster", address)
            lost = wait_until_busy(client, "worker-0")
            one.kill()
            ended = answer.result(2 * PATIENCE)
            left = client.scheduler_info(n_workers=-1)["workers"]
        assert ended.returncode == 0, ended.stderr
        assert lost not in left
    alone = pace(*asked)
    assert json.loads(ended.stdout) == json.loads(alone.stdout)


def test_a_cluster_without_a_worker_is_told_in_a_sentence(tmp_path: Path) -> None:
    with scheduler(tmp_path) as address:
        ended = hurried("--households", 10, "--cluster", address)
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "has no worker" in ended.stderr
    assert "Traceback" not in ended.stderr


def a_port_nobody_listens_on() -> int:
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
        return port


def test_where_no_cluster_answers_that_is_said_within_a_bounded_time() -> None:
    began = time.monotonic()
    ended = hurried("--households", 10, "--cluster", f"tcp://127.0.0.1:{a_port_nobody_listens_on()}")
    assert time.monotonic() - began < PATIENCE
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "No cluster answers at “tcp://127.0.0.1:" in ended.stderr
    assert "Traceback" not in ended.stderr


@pytest.mark.parametrize(
    "address", ["", "nonsense", "http://127.0.0.1:1", "tcp://127.0.0.1:none", "tls://127.0.0.1:1"]
)
def test_what_is_no_address_is_told_in_one_line(address: str) -> None:
    ended = pace("--households", 10, "--cluster", address)
    assert (ended.returncode, ended.stdout) == (2, "")
    assert len(ended.stderr.splitlines()) == 1, ended.stderr
    assert ended.stderr.startswith("coach: ")


def test_without_the_library_the_extra_to_install_is_named() -> None:
    hidden = "import sys; sys.modules['distributed'] = None; from coach.cli import main; sys.exit(main())"
    command = [
        sys.executable,
        "-c",
        hidden,
        "pace",
        *ASKED,
        "--households",
        "5",
        "--cluster",
        "tcp://127.0.0.1:1",
    ]
    ended = subprocess.run(command, capture_output=True, text=True, timeout=PATIENCE, check=False)
    assert (ended.returncode, ended.stdout) == (2, "")
    assert "coach[cluster]" in ended.stderr


def test_the_library_is_loaded_for_a_cluster_alone() -> None:
    asked = "['pace', '--households', '5', '--adherence', '0.8', '--days', '3', '--json']"
    look = f"import sys; from coach.cli import main; main({asked}); sys.exit('distributed' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", look], capture_output=True, check=False).returncode == 0
