"""What the one who runs Steading can set, from the environment (`COACH_...`) or the command line."""

from datetime import date
from pathlib import Path

import platformdirs
from pydantic import Field, ValidationError
from pydantic_settings import BaseSettings, SettingsConfigDict, SettingsError

from coach.errors import Malformed

LOOPBACK = ("localhost", "127.0.0.1", "[::1]")


def default_database() -> str:
    """An SQLite file in the user's data folder, as a database URL."""
    return f"sqlite:///{platformdirs.user_data_path('steading') / 'steading.db'}"


class Settings(BaseSettings):
    """Everything that can be set, with what holds if nothing is.

    Attributes:
        database: SQLAlchemy URL of the database.
        lessons: The lessons folder; none: the lessons that come with the package.
        course: The folder in it that a new household follows; none: three-weeks, or the first one there is.
        today: A date to try instead of the real one.
        host: The address to listen on.
        port: The port to listen on.
        hosts: Names under which the pages may be asked for besides the loopback ones.
    """

    model_config = SettingsConfigDict(env_prefix="COACH_", frozen=True)

    database: str = Field(default_factory=default_database)
    lessons: Path | None = None
    course: str | None = None
    today: date | None = None
    host: str = "127.0.0.1"
    port: int = Field(default=8420, ge=0, le=65535)
    hosts: tuple[str, ...] = ()


def read_settings(**named: object) -> Settings:
    """The settings: what is named here before the environment before what holds otherwise.

    Raises:
        Malformed: A value cannot be used; every one is named.
    """
    try:
        return Settings(**named)  # type: ignore[arg-type]  # checked by the model itself
    except ValidationError as error:
        faults = [f"{'.'.join(map(str, fault['loc']))}: {fault['msg']}" for fault in error.errors()]
        raise Malformed("; ".join(faults)) from None
    except SettingsError as error:
        raise Malformed(str(error)) from None
