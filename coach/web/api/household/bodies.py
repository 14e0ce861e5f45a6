"""What the JSON interface takes for a household's start and its pace."""

from pydantic import Field

from coach.web.api.fields import Body


class StartBody(Body):
    """The household's first choices."""

    first: str | None = Field(None, max_length=100, description="The root to begin with; none: the first.")
    zone: str | None = Field(
        None, max_length=100, description="IANA name of the time zone; none: UTC.", examples=["Europe/Lisbon"]
    )
    day_starts: str | None = Field(
        None, max_length=5, description="Local time at which the day begins, HH:MM; none: 03:00."
    )
    pace: str | None = Field(None, max_length=50, description="One of the course's paces; none: standard.")


class PaceBody(Body):
    """Another pace."""

    pace: str = Field(
        min_length=1, max_length=50, description="One of the course's paces.", examples=["standard"]
    )
