"""What takes the place of everything: a backup looked into and brought back, and what was kept before."""

from __future__ import annotations

from contextlib import suppress
from typing import TYPE_CHECKING

from coach.errors import Malformed, SteadingError, StoreError, Unknown
from coach.ground.kept import Kept
from coach.ground.log_rows import rows_of, startable
from coach.ground.situation import situation, started_home
from coach.household.bringing import compare_kept_home, put_home_back
from coach.household.comparing import Holding, compare, holding
from coach.household.data import home_of, keep_copy, put, refuse_if_changed
from coach.household.kept_log import NAME, PLACE, kept_log, required_log
from coach.progress.csvform import read_log
from coach.progress.journal import journal
from coach.progress.replay import begin, open_on

if TYPE_CHECKING:
    from pathlib import Path

    from coach.ground.ports import Context, Copies, Household, Reading
    from coach.household.answers import Comparison

BY_SERVER = "This database is kept by a server; use the server's own tools to back it up."


def required(copies: Copies | None) -> Copies:
    """The copies of the database file.

    Raises:
        Unknown: A server keeps it.
    """
    if copies is None:
        raise Unknown(BY_SERVER)
    return copies


def compare_backup(context: Context, household: str, source: Path, name: str | None = None) -> Comparison:
    """What a backup holds beside what is here; nothing is changed.

    Args:
        context: Store, copies and clock.
        household: Its key.
        source: The backup's file.
        name: What the person calls it.

    Raises:
        Malformed: It is no backup, or what it holds cannot be used here.
        StoreError: It cannot be read now.
    """
    with required(context.copies).opened(source, name) as store, store.reading(household) as theirs:
        file = _usable(context, theirs, name)
    return compare(_here(context, household), file)


def _usable(context: Context, theirs: Reading, name: str | None) -> Holding:
    """What a backup holds, once its days have been folded as they would be after the restore."""
    try:
        found = holding(theirs, with_plan=True)
        if (home := theirs.household()) is not None:
            _folded(context, theirs, home, found)
    except StoreError:
        raise
    except Exception as error:
        reason = f" {error}" if isinstance(error, SteadingError) else ""
        called = f"The backup {name}" if name else "This backup"
        raise Malformed(f"{called} cannot be used here, so nothing was changed.{reason}") from error
    return found


def _folded(context: Context, theirs: Reading, home: Household, found: Holding) -> None:
    """Fold a backup's days from nothing, since a standing that is kept would hide what is wrong with rows."""
    if not found.rows:
        raise Malformed("Its log is empty.")
    where = situation(context, theirs)
    rows, _ = rows_of(theirs, home.zone)
    book, _ = startable(journal(where.past.timeline, rows), rows)
    open_on(begin(book), book, where.standing.on)
    int(home.version)


def restore(
    context: Context, household: str, source: Path, seen: int | None = None, name: str | None = None
) -> Kept | None:
    """Put a backup in the place of everything, and keep what was there.

    Args:
        context: Store, copies and clock.
        household: Its key.
        source: The backup's file.
        seen: The version for which a comparison was shown; none: whatever is here.
        name: What the person calls the file.

    Raises:
        Malformed: It is no backup.
        StoreError: What was there cannot be kept.
        NotEditable: What is here is another version than the one seen.
    """
    before = _version(context, household) if seen is None else seen

    def unchanged() -> None:
        refuse_if_changed(_version(context, household), before)

    unchanged()
    # Asked once more when what is here has been kept, so that nothing is lost that came in the meantime.
    kept = required(context.copies).restore(source, unchanged, name)
    context.memo.forget()
    return kept


def kept(context: Context, household: str) -> tuple[Kept, ...]:
    """The copies there are: those asked for, and those made before something took everything's place.

    What cannot be read any more is none of them.
    """
    if context.copies is not None:
        return tuple(context.copies.kept())
    with context.store.reading(household) as reading, suppress(Malformed):
        found = kept_log(reading)
        return () if found is None else (Kept(NAME, found.at, "import", PLACE),)
    return ()


def compare_kept(context: Context, household: str, name: str) -> Comparison:
    """What was kept beside what is here; nothing is changed.

    Raises:
        Unknown: It is not kept any more.
    """
    if context.copies is not None:
        return compare_backup(context, household, context.copies.file(name), name)
    with context.store.reading(household) as reading:
        if (whole := compare_kept_home(reading)) is not None:
            return whole
        rows = read_log(required_log(reading).text).rows
        return compare(holding(reading, with_plan=False), Holding(rows))


def put_back(context: Context, household: str, name: str, seen: int | None = None) -> Kept | None:
    """Put what was kept in the place of what is here, which is kept in its turn.

    Args:
        context: Store, copies and clock.
        household: Its key.
        name: Which of those that are kept.
        seen: The version for which a comparison was shown; none: whatever is here.

    Raises:
        Unknown: It is not kept any more.
        NotEditable: What is here is another version than the one seen.
    """
    if context.copies is not None:
        return restore(context, household, context.copies.file(name), seen, name)
    with context.store.reading(household) as reading:
        whole = required_log(reading).home
    if whole:
        return put_home_back(context, household, whole, seen)
    with context.store.writing(household) as writing:
        refuse_if_changed(started_home(writing.household()).version, seen)
        before = required_log(writing)
        now = keep_copy(context, writing)
        rows = read_log(before.text).rows
        home = home_of(context, household, rows, started_home(writing.household()).course)
        put(context, writing, home, rows, before.courses)
    return now


def _here(context: Context, household: str) -> Holding:
    """What is here; what cannot be read any more is nothing to compare with, and may be replaced."""
    try:
        with context.store.reading(household) as reading:
            return holding(reading, with_plan=True)
    except StoreError:
        return Holding(plan=[])


def _version(context: Context, household: str) -> int:
    try:
        home = context.store.version(household)
    except StoreError:
        return 0
    return home.version if home else 0
