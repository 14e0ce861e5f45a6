"""A second, literal and slow reading of rules.md §2, §4, §5, §7 and §8, to compare the engine with.

It was written from the rules alone, without a look at the engine. Comments name the rule they stand
for; a comment that starts with "Reading:" marks a place where the words allow another reading.
"""

from __future__ import annotations

import json
import math
from datetime import date
from typing import Any

from property.plain_course import STEP_DEFAULTS, Course, happened, next_fall, read_course
from property.plain_log import ONE_DAY, Log, Row
from property.plain_step import Day, Step, step_standing

__all__ = ["Household", "read_course", "standings"]

SLOTS = ("morning", "anytime", "evening")
DAYS_BETWEEN_ANSWERS, AT_LEAST_MISSED = 13, 2  # 8.3


class Household:
    """A household replayed: `open_day`, then `standing`, then `close_day`, for each day in order."""

    def __init__(self, course: Course, rows: list[Row]) -> None:
        self.course, self.log = course, Log(course, rows)
        self.steps = {w["id"]: Step(w["id"], order, w) for order, w in enumerate(course["steps"])}
        self.pace: int = course["paces"][self.log.pace or "standard"]
        self.pause: tuple[date, date | None] | None = None
        self.wanted, self.ceiling, self.lapsed, self.empty_run = "", math.inf, False, 0
        self.resting: list[str] = []  # in the order in which they come back
        self.past: list[Day] = []
        self.counted_from = self.log.start

    # ---- §5, Open ------------------------------------------------------------------------------------

    def apply(self, row: Row) -> None:
        """5.1, one row; rows on unknown steps do nothing."""
        on, what, name, value = row
        name = name if what == "add" else self.log.meant(name, set(self.steps))
        if what == "pause":
            # Reading: one whose last date is before its own still replaces an earlier one, and covers no day.
            self.pause = (date.fromisoformat(on), date.fromisoformat(value) if value else None)
        elif what == "resume":
            self.pause = None
        elif what == "next":
            self.wanted = name
        elif what == "minutes":
            self.ceiling = float(value) if value else math.inf
        elif what == "pace" or row is self.log.start_row:
            # Reading: the start says a pace too, in its place among the rows, so one of before gives way to
            # it. What is added to every `settles` is what the last one says; 5.9 asks nothing settled again.
            self.pace = self.course["paces"][value or "standard"]
        elif what == "add" and name not in self.steps:
            words = STEP_DEFAULTS | json.loads(value) | {"id": name}
            needs = {
                key: [self.log.meant(other, set(self.steps)) for other in words[key]]
                for key in ("after", "after_any")
            }
            self.steps[name] = Step(name, len(self.steps), words | needs)
        elif name in self.steps:
            self.apply_to_step(what, self.steps[name], value)

    def apply_to_step(self, what: str, step: Step, value: str) -> None:
        if what == "set-aside":
            # Reading: "set aside wins, then resting" (§7), so a resting step set aside rests no longer.
            step.set_aside, step.open_occurrence = True, False
            self.rest([name for name in self.resting if name != step.name])
        elif what == "restore":
            # Reading: "restore" speaks of a step set aside; one that merely rests goes on resting.
            step.set_aside = False
        elif what == "adjust":
            step.words = step.words | json.loads(value)

    def open_day(self, on: date) -> None:
        for row in self.log.rows_opening(on, self.past[-1].on if self.past else None):
            self.apply(row)
        # Reading: as in 5.4, whether a day "opened with resting steps" is told after its rows.
        self.today = Day(on, self.log.marks_on(on), opened_with_resting=bool(self.resting))
        if not self.past:  # 5.1; Reading: also when the rows of the start date set that step aside
            self.introduce(self.first())
            self.today.introduced = self.first()
            # Reading: with 5.2 skipped the start date is never paused, and its marks end no open-ended pause.
        elif self.is_paused():
            self.lapsed, self.today.paused = False, True  # 5.11: a pause also ends a lapse
            self.forget()
            return
        elif self.is_return():
            self.come_back()
        elif self.lapsed:
            self.today.lapsed = True
            self.today.checklist = self.would_return_to()
            return
        elif self.resting:
            self.rebuild()
        else:
            self.introduce_next()
        self.heed_marks()
        self.open_occurrences()
        self.choose_lesson()

    def first(self) -> str:
        roots = [s.name for s in self.steps.values() if not s.words["after"] and not s.words["after_any"]]
        return self.log.meant(self.log.first_step, set(self.steps)) or roots[0]

    def introduce(self, name: str) -> None:
        self.steps[name].introduced_on = self.today.on

    def forget(self) -> None:
        for step in self.steps.values():
            step.open_occurrence = False

    def is_paused(self) -> bool:
        """5.2."""
        if self.pause is None:
            return False
        first, last = self.pause
        covered = first <= self.today.on and (last is None or self.today.on <= last)
        if covered and self.today.marks and last is None:
            self.pause = None  # a mark ends an open-ended pause from that day on
        return covered and not self.today.marks

    def gap(self) -> int:
        """5.3: household days strictly between the latest earlier day with a mark and today."""
        marked = [day.on for day in self.past if day.marks]
        since = marked[-1] if marked else self.log.start - ONE_DAY
        return sum(since < day.on < self.today.on for day in self.past)

    def is_return(self) -> bool:
        """5.3."""
        if self.lapsed:
            return bool(self.today.marks or self.resumes())
        return self.past[-1].paused and self.gap() >= self.course["lapse_after"]

    def resumes(self) -> list[str]:
        return self.log.resumes(self.today.on, self.past[-1].on)

    def by_strength(self) -> list[str]:
        """5.3: the introduced steps not set aside, the strongest first, then in course order."""
        there = [step for step in self.steps.values() if step.introduced_on and not step.set_aside]
        return [step.name for step in sorted(there, key=lambda step: (-round(step.strength, 9), step.order))]

    def straight_back(self) -> list[str]:
        """5.3: the steps that come straight back on a return day."""
        names = self.by_strength()
        share = len(names) * 2 ** (-self.gap() / self.course["return"]["half_life"])
        number = min(max(math.floor(share + 0.5), 1), len(names))
        # Reading: of several `resume` rows of one day the last with `all` or `one` counts.
        for value in self.resumes():
            number = {"all": len(names), "one": min(1, len(names))}.get(value, number)
        return names[:number]

    def rest(self, names: list[str]) -> None:
        self.resting = names
        for step in self.steps.values():
            step.resting = step.name in names

    def come_back(self) -> None:
        """5.3."""
        self.today.returned = True
        back = self.straight_back()
        self.rest([name for name in self.by_strength() if name not in back])
        self.forget()
        if self.lapsed:
            self.counted_from = self.today.on
        self.lapsed = False

    def rebuild(self) -> None:
        """5.4."""
        # Reading: whether a day "opened with resting steps" is told after its rows, before a step comes back.
        before, good_day = self.past[-1], self.course["return"]["good_day"]
        good = bool(before.outcomes) and not below(share_kept(before.outcomes), good_day)
        if not before.paused and not before.lapsed and (good or not before.checklist):
            self.rest(self.resting[1:])

    def introduce_next(self) -> None:
        """5.5."""
        candidates = [step.name for step in self.steps.values() if self.is_candidate(step)]
        if candidates and not self.is_held():
            self.today.introduced = self.wanted if self.wanted in candidates else candidates[0]
            self.introduce(self.today.introduced)

    def is_candidate(self, step: Step) -> bool:
        after, any_of = step.words["after"], step.words["after_any"]
        if step.introduced_on is not None or step.set_aside or not all(map(self.is_done, after)):
            return False
        if any_of and not any(map(self.is_done, any_of)):
            return False
        # Reading: a waiting step "being practised" is an active one; those set aside are not being practised.
        waiting = [other for other in self.steps.values() if other.active and other.words["waits"]]
        practised = sum(other.settled_on is None for other in waiting)
        minutes = step.words["minutes"] + sum(other.words["minutes"] for other in waiting)
        return not step.words["waits"] or (practised < self.course["at_once"] and minutes <= self.ceiling)

    def is_done(self, name: str) -> bool:
        """Whether a step named in `after` is settled or set aside; one not (yet) in the course is neither."""
        return name in self.steps and (self.steps[name].settled_on is not None or self.steps[name].set_aside)

    def is_held(self) -> bool:
        """5.5, "No candidate is taken while"; Reading: with no counted day there is no share, and no hold."""
        counted = [day.outcomes for day in self.past if day.outcomes and day.on >= self.counted_from]
        latest = [outcome for outcomes in counted[-self.course["hold"]["over"] :] for outcome in outcomes]
        some_active = any(step.active for step in self.steps.values())
        return some_active and bool(latest) and below(share_kept(latest), self.course["hold"]["at_least"])

    def heed_marks(self) -> None:
        """5.6."""
        # Reading: "Nothing is introduced" in 5.3 and 5.4 speaks of 5.5; a mark introduces on those days too.
        for step in self.steps.values():
            if step.name in self.today.marks and step.introduced_on is None and not step.set_aside:
                self.introduce(step.name)
                step.open_occurrence = self.today.opened = True
        self.rest([name for name in self.resting if name not in self.today.marks])

    def open_occurrences(self) -> None:
        """5.7."""
        for step in self.steps.values():
            if step.active and step.falls_on(self.today.on):
                step.open_occurrence = self.today.opened = True  # in place of an older one still open
        self.today.checklist = in_slots([step for step in self.steps.values() if step.open_occurrence])

    def would_return_to(self) -> list[str]:
        """§7: the checklist of a lapsed day."""
        # Reading: "the list the household would return to" is the checklist a return would open with: only
        # those of the steps coming straight back that have an occurrence that day.
        back = [self.steps[name] for name in self.straight_back()]
        return in_slots([step for step in back if step.falls_on(self.today.on)])

    # ---- §5, Close -----------------------------------------------------------------------------------

    def close_day(self) -> None:
        if self.today.paused or self.today.lapsed:
            self.fade([step for step in self.steps.values() if not step.set_aside])  # 5.10 alone
        else:
            for step in self.steps.values():
                if step.open_occurrence:
                    self.close_occurrence(step)
            self.settle()
            self.fade([step for step in self.steps.values() if step.resting])
            self.count_empty_days()
        self.past.append(self.today)

    def close_occurrence(self, step: Step) -> None:
        """5.8."""
        mark = self.today.marks.get(step.name)
        if mark is None and not self.is_last_day_before_next(step):
            return
        step.open_occurrence = False
        if mark != "excused":
            kept = mark in {"kept", "small"}
            step.outcomes.append(kept)
            self.today.outcomes.append(kept)
            self.strengthen(step, kept=kept)

    def is_last_day_before_next(self, step: Step) -> bool:
        """5.8: whether no household day lies between today and the step's next occurrence."""
        # Reading: the next occurrence is looked for from today, by today's rule and in today's zone; a date
        # that never happens there is not due (§2), so it is no occurrence.
        zone = self.log.zone(self.today.on)
        assert step.introduced_on is not None
        following = next_fall(step.words["repeats"], step.introduced_on, self.today.on)
        while following is not None and not happened(following, zone):
            following = next_fall(step.words["repeats"], step.introduced_on, following)
        if following is None:
            return False
        between = (self.today.on + offset * ONE_DAY for offset in range(1, (following - self.today.on).days))
        return not any(happened(day, zone) for day in between)

    def settle(self) -> None:
        """5.9; Reading: "every close" is the close of every day, with or without an outcome of that step."""
        for step in self.steps.values():
            needed, of = step.words["settles"]["kept"] + self.pace, step.words["settles"]["of"] + self.pace
            if step.active and step.settled_on is None and sum(step.outcomes[-of:]) >= needed:
                step.settled_on = self.today.on

    def strengthen(self, step: Step, *, kept: bool) -> None:
        """5.10."""
        figures = self.course["strength"]
        if kept:
            step.strength += (1 - 0.05 ** (1 / figures["days_to_95"])) * (1 - step.strength)
        else:
            step.strength *= 0.5 ** (1 / figures["half_life_missed"])

    def fade(self, steps: list[Step]) -> None:
        """5.10: a date on which the rule of a step left off falls counts like a missed outcome."""
        for step in steps:
            if step.falls_on(self.today.on):
                self.strengthen(step, kept=False)

    def count_empty_days(self) -> None:
        """5.11."""
        if self.today.marks or self.today.returned:
            # Reading: a return day ends the run that led to it; without a mark it is an empty day itself, so
            # a new run begins with it.
            self.empty_run = 0
        if not self.today.marks and self.today.opened:
            self.empty_run += 1
        if self.empty_run >= self.course["lapse_after"]:
            self.lapsed = True

    # ---- §8 ------------------------------------------------------------------------------------------

    def choose_lesson(self) -> None:
        """§8, on a day that is neither paused nor lapsed; on those none of a step's is chosen (8.1)."""
        if self.today.returned or self.today.opened_with_resting:
            return  # 8.1
        introduced = self.today.introduced
        if introduced is not None and self.steps[introduced].words["lessons"]:
            # Reading: a step without lessons has no first one, so its day goes on to the next rule.
            self.today.lesson = [introduced, 1]  # 8.2
        elif self.answers_a_bad_day():
            self.today.answered = True  # 8.3
        else:
            self.today.lesson = self.first_unread()  # 8.4, and none (8.5) where nothing is unread

    def answers_a_bad_day(self) -> bool:
        """8.3."""
        before = self.past[-1].outcomes if self.past else []
        lately = [day for day in self.past if (self.today.on - day.on).days <= DAYS_BETWEEN_ANSWERS]
        all_missed = len(before) >= AT_LEAST_MISSED and not any(before)
        return all_missed and not any(day.answered for day in lately)

    def first_unread(self) -> list[Any] | None:
        """8.4."""
        having = [step for step in self.steps.values() if step.active and self.unread(step)]
        having.sort(key=lambda step: (str(step.introduced_on), step.order))
        return [having[-1].name, self.unread(having[-1])[0]] if having else None

    def unread(self, step: Step) -> list[int]:
        """The numbers of a step's lessons that were no household day's lesson yet."""
        read = [day.lesson for day in self.past]
        return [number for number in range(1, step.words["lessons"] + 1) if [step.name, number] not in read]

    # ---- §7 ------------------------------------------------------------------------------------------

    def phase(self) -> str:
        left = [step for step in self.steps.values() if not step.set_aside]
        if self.today.paused or self.today.lapsed:
            return "paused" if self.today.paused else "lapsed"
        if self.resting:
            return "rebuilding"
        to_come = any(step.introduced_on is None for step in left)
        unsettled = any(step.words["waits"] and step.settled_on is None for step in left)
        return "ramping" if to_come or unsettled else "steady"

    def standing(self) -> dict[str, Any]:
        """§7: the standing as this day has opened."""
        there = [step for step in self.steps.values() if step.introduced_on is not None]
        return {
            "on": self.today.on.isoformat(),
            "day": (self.today.on - self.log.start).days + 1,
            "phase": self.phase(),
            "introduced": self.today.introduced,
            "lesson": self.today.lesson,
            "checklist": self.today.checklist,
            "steps": {step.name: step_standing(step) for step in there},
        }


def share_kept(outcomes: list[bool]) -> float:
    return sum(outcomes) / len(outcomes)


def in_slots(steps: list[Step]) -> list[str]:
    """5.7: morning, anytime, evening, and course order within each."""
    return [
        step.name for step in sorted(steps, key=lambda step: (SLOTS.index(step.words["slot"]), step.order))
    ]


def below(share: float, least: float) -> bool:
    """5.5: shares are compared at 9 decimals."""
    return round(share, 9) < round(least, 9)


def standings(course: Course, rows: list[Row], until: date) -> list[dict[str, Any]]:
    """Give the §7 object of every household day from the start to `until`; none without a `start` row."""
    if not any(row[1] == "start" for row in rows):
        return []
    household = Household(course, rows)
    result = []
    for day in household.log.household_days(until):
        household.open_day(day)
        result.append(household.standing())
        household.close_day()
    return result
