"""Which program listens on a port, as far as Linux tells this user."""

from __future__ import annotations

from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator

_LISTENS = "0A"
"""TCP_LISTEN in the tables of /proc/net (include/net/tcp_states.h)."""


def holder_of(port: int, proc: Path = Path("/proc")) -> str:
    """` (NAME, process NUMBER)`; empty where the system does not tell."""
    wanted = {f"socket:[{inode}]" for inode in _inodes(port, proc)}
    for process in proc.glob("[0-9]*") if wanted else ():
        with suppress(OSError):
            if any(str(one.readlink()) in wanted for one in (process / "fd").iterdir()):
                return f" ({(process / 'comm').read_text().strip()}, process {process.name})"
    return ""


def _inodes(port: int, proc: Path) -> Iterator[str]:
    for table in ("tcp", "tcp6"):
        with suppress(OSError):
            for line in (proc / "net" / table).read_text().splitlines()[1:]:
                _, local, _, state, *rest = line.split()
                if state == _LISTENS and int(local.rpartition(":")[2], 16) == port:
                    yield rest[5]
