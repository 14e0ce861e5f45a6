"""The results of the areas as JSON."""

from typing import Annotated

from fastapi import Path
from pydantic import TypeAdapter

from coach.areas.answers import Areas, AreaView, AreaWeekView, Proposal, RoomChoice, RotationView

ROOMS = TypeAdapter(tuple[RoomChoice, ...])
PROPOSAL = TypeAdapter(Proposal)
AREA = TypeAdapter(AreaView)
AREAS = TypeAdapter(Areas)
AREA_WEEK = TypeAdapter(AreaWeekView)
ROTATION = TypeAdapter(RotationView)

AreaId = Annotated[str, Path(description="An area's id, as in `areas`.", max_length=100)]
TaskId = Annotated[str, Path(description="A task's id, as in the lists of the areas.", max_length=100)]
