"""What stands in the addresses of people, devices and tokens."""

from typing import Annotated

from fastapi import Path

SessionId = Annotated[str, Path(description="Its `id`, as the list has it.", max_length=100)]
PersonId = Annotated[str, Path(description="Their `person`, as the list has it.", max_length=100)]
