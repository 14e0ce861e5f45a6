"""What simulated households came to, as tables, one JSON object and lines of CSV."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.pace.opening import LAPSED, PAUSED, PHASES
from coach.pace.tally import day_by

if TYPE_CHECKING:
    from coach.course.model import Course
    from coach.pace.lots import Simulation
    from coach.pace.tally import Tally

QUANTILES = {10: "1 in 10", 50: "1 in 2", 80: "8 in 10", 90: "9 in 10"}
LOOKED_AT = (1, 7, 14, 21, 28, 42, 60, 90, 120, 180, 365, 730, 1095, 1825, 3650)
"""The days that a table shows, and the last one."""
SHOWN = tuple(phase for phase in PHASES if phase != PHASES[PAUSED])
"""Nobody pauses in a simulation."""
COLUMNS = ("day", *PHASES, "minutes", "lines", "settled", "steady_first", "lapsed_first")


def as_csv(tally: Tally) -> str:
    """One line a day under a header; all are whole numbers."""
    columns = (tally.minutes, tally.listed, tally.done, tally.steady, tally.lapsed)
    rows = zip(tally.phases.tolist(), *(column.tolist() for column in columns), strict=True)
    lines = [",".join(map(str, (day, *phases, *rest))) for day, (phases, *rest) in enumerate(rows, 1)]
    return "\n".join([",".join(COLUMNS), *lines, ""])


def as_object(course: Course, pace: str, asked: Simulation, tally: Tally) -> dict[str, object]:
    """The simulation as JSON: what was asked, and counts of households."""
    return {
        "course": course.title,
        "pace": pace,
        "start": asked.start.isoformat(),
        "households": asked.households,
        "days": asked.days,
        "seed": asked.seed,
        "adherence": [asked.lowest, asked.highest],
        "drop_a_day": asked.begins,
        "back_a_day": asked.ends,
        "settled": {f"p{share}": day_by(tally.done, asked.households, share) for share in QUANTILES},
        "steady": {f"p{share}": day_by(tally.steady, asked.households, share) for share in QUANTILES},
        "phases": dict(zip(PHASES, tally.phases.T.tolist(), strict=True)),
        "minutes": tally.minutes.tolist(),
        "lines": tally.listed.tolist(),
        "steps": [
            {
                "step": step,
                "came": int(tally.came[place]),
                "settled": int(tally.settled[place]),
                "practised": int(tally.practised[place]),
                "standing": dict(zip(PHASES, tally.standing[place].tolist(), strict=True)),
            }
            for place, step in enumerate(asked.rules.ids)
        ],
    }


def print_tables(course: Course, pace: str, asked: Simulation, tally: Tally) -> None:
    """The simulation in words and columns."""
    days = "1 day" if asked.days == 1 else f"{asked.days} days"
    print(f"{course.title}, {pace} pace: {asked.households:,} households over {days}")
    print(_assumed(asked))
    _print_days(asked, tally)
    _print_quantiles(asked, tally)
    _print_steps(asked, tally)


def _assumed(asked: Simulation) -> str:
    kept = f"{asked.lowest:g}"
    if asked.highest > asked.lowest:
        kept = f"between {asked.lowest:g} and {asked.highest:g}"
    said = f"Each keeps a due line with a chance {'of ' * (asked.highest == asked.lowest)}{kept}"
    if not asked.begins:
        return f"{said} and marks every day. Seed {asked.seed}."
    back = f", and {_percent(asked.ends)} of the quiet come back" if asked.ends else " for good"
    return f"{said}. Each day {_percent(asked.begins)} fall quiet{back}. Seed {asked.seed}."


def _percent(share: float) -> str:
    return f"{100 * share:g} %"


def _print_days(asked: Simulation, tally: Tally) -> None:
    print("\nshare in each phase, and minutes a day on the list of those that have not lapsed")
    print(f"{'day':>5}" + "".join(f"{phase:>12}" for phase in SHOWN) + f"{'minutes':>10}")
    for day in sorted({*(day for day in LOOKED_AT if day < asked.days), asked.days}):
        row = tally.phases[day - 1].tolist()
        shares = (row[PHASES.index(phase)] / asked.households for phase in SHOWN)
        present = asked.households - row[LAPSED]
        minutes = f"{int(tally.minutes[day - 1]) / present:.1f}" if present else "-"
        print(f"{day:>5}" + "".join(f"{100 * share:>10.1f} %" for share in shares) + f"{minutes:>10}")


def _print_quantiles(asked: Simulation, tally: Tally) -> None:
    print("\ndays, the first included, until the last waiting step has settled, and until a day is steady")
    for share, words in QUANTILES.items():
        settled, steady = (day_by(found, asked.households, share) for found in (tally.done, tally.steady))
        print(f"  {words:<9}{_day(settled, asked.days):>22}{_day(steady, asked.days):>24}")


def _day(day: int | None, days: int) -> str:
    return f"not within {days} days" if day is None else str(day)


def _print_steps(asked: Simulation, tally: Tally) -> None:
    print(
        "\nwhere households stand still: of all, to how many a step has come, in how many it has settled, how"
    )
    print("many are at it still, how many of those have lapsed, and days at it for each to whom it has come")
    width = max(len("step"), *map(len, asked.rules.ids))
    heads = ("came", "settled", "at it", "lapsed", "days at it")
    print(f"{'step':<{width}}" + "".join(f"{head:>12}" for head in heads))
    for place, step in enumerate(asked.rules.ids):
        came, settled = int(tally.came[place]), int(tally.settled[place])
        counts = (came, settled, came - settled, int(tally.standing[place, LAPSED]))
        shares = "".join(f"{100 * count / asked.households:>10.1f} %" for count in counts)
        days = f"{int(tally.practised[place]) / came:.1f}" if came else "-"
        print(f"{step:<{width}}{shares}{days:>12}")
