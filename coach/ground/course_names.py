"""The names under which a household has a course that is kept in the database, and what such a name means."""

from __future__ import annotations

_GROUP, _BROUGHT, _VERSION = "group:", "brought:", "version:"


def group_course(group: str) -> str:
    """The name under which a household of a group has its course: which one that is, the group says."""
    return f"{_GROUP}{group}"


def brought_course(course: str) -> str:
    """The name under which a household has a course that was brought here as a file."""
    return f"{_BROUGHT}{course}"


def group_named(course: str) -> str | None:
    """The group whose course a name means; None for a course that no group says."""
    return course.removeprefix(_GROUP) if course.startswith(_GROUP) else None


def brought_named(course: str) -> str | None:
    """The id of the course that was brought here and is meant by a name; None for another course."""
    return course.removeprefix(_BROUGHT) if course.startswith(_BROUGHT) else None


def one_version(digest: str) -> str:
    """The name under which a household that left its group has its course: that version, and none later."""
    return f"{_VERSION}{digest}"


def version_named(course: str) -> str | None:
    """The digest of the one version that a name means; None for a course that goes on."""
    return course.removeprefix(_VERSION) if course.startswith(_VERSION) else None


def is_kept(course: str) -> bool:
    """Whether a name means a course that is kept in the database, and not one of the folder's."""
    return course.startswith((_GROUP, _BROUGHT, _VERSION))
