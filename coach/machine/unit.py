"""The file by which systemd starts Steading with the machine (systemd.service, systemd.syntax)."""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

from coach.errors import NotReady

if TYPE_CHECKING:
    from collections.abc import Sequence

NAME = "steading.service"

AGAIN_SECONDS = 10
"""Seconds after a failed start until the next one: what it waits for, such as a clock, may come."""

# `:` keeps systemd from reading `$` in the arguments. The restrictions need no right beyond the user's, and
# leave alone what the service does: files, sockets, asking for its addresses.
_TEXT = """\
[Unit]
Description=Steading, one small household habit at a time

[Service]
Type=exec
ExecStart=:{command}
WorkingDirectory={folder}
Environment=PYTHONUNBUFFERED=1
Restart=on-failure
RestartSec={again}
UMask=0077
NoNewPrivileges=yes
LockPersonality=yes
RestrictRealtime=yes
RestrictSUIDSGID=yes
RestrictNamespaces=yes
RestrictAddressFamilies=AF_UNIX AF_INET AF_INET6 AF_NETLINK
SystemCallArchitectures=native

[Install]
WantedBy=default.target
"""
_NEVER = frozenset("'\"\\")
_PLAIN = re.compile(r"[\w@%+=:,./-]+", re.ASCII)


def this_program() -> tuple[str, ...]:
    """How the very program that runs now is started: its script, or else Python with its module."""
    script = Path(sys.executable).with_name("coach.exe" if os.name == "nt" else "coach")
    return (str(script),) if script.is_file() else (sys.executable, "-m", "coach.cli")


def text_of(command: Sequence[str], folder: Path) -> str:
    """The unit that runs a command as if it had been typed in a folder.

    Raises:
        NotReady: systemd does not start programs of such a name.
    """
    if _NEVER & set(command[0]):
        raise NotReady(
            f"systemd starts no program with a quote or a backslash in its path, as in {command[0]}. "
            "Install Steading in another folder."
        )
    words = " ".join(map(_quoted, command))
    return _TEXT.format(command=words, folder=str(folder).replace("%", "%%"), again=AGAIN_SECONDS)


def _quoted(word: str) -> str:
    """A word as systemd.syntax wants it: in quotes, with C's escapes, `%` doubled."""
    escaped = "".join(f"\\x{ord(sign):02x}" if ord(sign) < ord(" ") else sign for sign in _escaped(word))
    return escaped if _PLAIN.fullmatch(word) else f'"{escaped}"'


def _escaped(word: str) -> str:
    return word.replace("\\", "\\\\").replace('"', '\\"').replace("%", "%%")


def place() -> Path:
    """Where the user's units are kept (XDG_CONFIG_HOME, or `.config`)."""
    return platformdirs.user_config_path() / "systemd" / "user" / NAME


def has_systemd() -> bool:
    """Whether this machine is one that a unit is for."""
    return sys.platform == "linux" and shutil.which("systemctl") is not None


def install(path: Path, text: str, *, replace: bool) -> bool:
    """Write the unit; one that says something else is left alone, unless it may be replaced.

    Returns:
        Whether there was one before.

    Raises:
        NotReady: Another is there, or it cannot be written.
    """
    try:
        before = path.read_text(encoding="utf-8") if path.exists() else None
        if before is not None and before != text and not replace:
            raise NotReady(
                f"{path} is there already and says something else, so it was left as it is. "
                "See with --print what would be in it, and replace it with --replace."
            )
        if before != text:
            _write(path, text)
    except (OSError, UnicodeDecodeError) as error:
        raise NotReady(
            f"{path} cannot be written: {error}. Put there yourself what --print shows."
        ) from error
    return before is not None


def _write(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    part = Path(name)
    try:
        with os.fdopen(handle, "w", encoding="utf-8") as file:
            file.write(text)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)


def elsewhere(command: Sequence[str], system: str = sys.platform) -> str:
    """How to have a command started where there is no systemd, in plain words."""
    if system == "win32":
        return (
            "Windows starts it by Task Scheduler: make a task with the trigger “At log on” and the action\n"
            f"    {subprocess.list2cmdline(command)}\n"
            "Set it to start again if it fails, and not to be stopped after three days."
        )
    line = f"    {shlex.join(command)}\n"
    if system == "darwin":
        return (
            "macOS starts it by launchd: a property list in ~/Library/LaunchAgents, ProgramArguments being\n"
            f"{line}one string for each word, with RunAtLoad and KeepAlive set to true. Load it with\n"
            "launchctl bootstrap gui/$(id -u) and the name of the file."
        )
    return f"This machine has no systemd. Give this line to whatever starts your services:\n{line}"
