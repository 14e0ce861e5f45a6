"""What people type into the forms of the areas, as values; nothing typed is lost when it cannot be read."""

from pydantic import Field

from coach.areas.answers import ListName, ModeName, WayName, WeekdayName
from coach.areas.tasks import WantedTask
from coach.areas.turns import Arrangement
from coach.course.digits import whole_number
from coach.errors import Malformed
from coach.web.pages.seen import SeenForm

GREATEST = 999_999_999


def number(what: str, text: str) -> int:
    """A whole number that was typed.

    Args:
        what: What it is for, in the sentence that says it cannot be read.
        text: As typed.

    Raises:
        Malformed: It is none.
    """
    plain = text.strip()
    size = whole_number(plain.removeprefix("-"), GREATEST)
    if size is None:
        raise Malformed(f"“{plain[:20]}” is no number for {what}. Write a whole number, such as 10.")
    return -size if plain.startswith("-") else size


class RoomsForm(SeenForm):
    """The rooms of the home.

    Attributes:
        room: Those picked from the list, or shown in a proposal.
        more: Others, one on each line.
        areas: How many areas they are to make; empty: as proposed.
    """

    room: list[str] = Field([])
    more: str = ""
    areas: str = ""

    @property
    def names(self) -> list[str]:
        """All of them."""
        return [*self.room, *self.more.splitlines()]

    @property
    def count(self) -> int | None:
        """How many areas are wanted, if that is said."""
        return number("the areas", self.areas) if self.areas.strip() else None


class TurnsForm(SeenForm):
    """How the areas are worked in.

    Attributes:
        first: With this area the rotation starts anew; empty: it goes on.
        turn: The areas that had their turn when the form was shown, which `first` would change.
    """

    mode: ModeName = "continuous"
    minutes_a_week: str = ""
    way: WayName = "list"
    spot_minutes: str = ""
    area_days: list[WeekdayName] = Field([])
    first: str = ""
    turn: str = ""

    def arrangement(self) -> Arrangement:
        """What it asks for."""
        wanted = Arrangement(
            mode=self.mode,
            minutes_a_week=number("the minutes a week", self.minutes_a_week),
            way=self.way,
            spot_minutes=number("the minutes of a short task", self.spot_minutes),
            area_days=self.area_days,
        )
        return Arrangement({**wanted, "first": self.first}) if self.first else wanted


class NameForm(SeenForm):
    """What an area is called."""

    name: str = ""


class TaskForm(SeenForm):
    """A task, new or to change.

    Attributes:
        every_days: Empty: no interval.
        area: Where it belongs.
        position: Its place in the list, counted from 1; empty: as it is, or last.
    """

    list: ListName = "detail"
    title: str = ""
    minutes: str = ""
    every_days: str = ""
    area: str = ""
    position: str = ""

    def wanted(self) -> WantedTask:
        """The new task it describes."""
        return WantedTask(title=self.title, minutes=self._minutes(), every_days=self._every_days())

    def changes(self) -> WantedTask:
        """What it says of a task that is there."""
        found = self.wanted()
        if self.area:
            found["area"] = self.area
        if self.position.strip():
            found["position"] = number("the place in the list", self.position) - 1
        return found

    def _minutes(self) -> int:
        return number("the minutes", self.minutes)

    def _every_days(self) -> int | None:
        return number("the days between", self.every_days) if self.every_days.strip() else None


class SplitForm(SeenForm):
    """What goes over to a new area."""

    name: str = ""
    room: list[str] = Field([])
    task: list[str] = Field([])
