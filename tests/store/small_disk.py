"""A disk of its own with little room, which a test can fill."""

from __future__ import annotations

import os
import subprocess
from contextlib import contextmanager
from typing import TYPE_CHECKING

import pytest

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


@contextmanager
def small_disk(folder: Path, size: int) -> Iterator[Path]:
    """A new folder on a disk that holds so many bytes; its tests are skipped where none can be mounted."""
    disk = folder / "disk"
    disk.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", f"size={size}", "tmpfs", str(disk)]
    if os.geteuid() or subprocess.run(command, check=False, capture_output=True).returncode:
        pytest.skip("only root can mount a small disk, where its system allows that")
    try:
        yield disk
    finally:
        subprocess.run(["umount", "--lazy", str(disk)], check=True)


def fill(disk: Path) -> None:
    """Leave no room."""
    with (disk / "filling").open("wb", buffering=0) as file:
        try:
            while file.write(b"x" * 4096):
                pass
        except OSError:
            return
