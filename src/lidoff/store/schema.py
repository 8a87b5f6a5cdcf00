"""The schema's version: told at a glance when it is current, brought up to date when it is not."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from sqlalchemy import Connection, column, inspect, select, table

from .database import Database
from .faults import StoreError

if TYPE_CHECKING:
    from alembic.config import Config

#: The newest migration. Known here so that a current database opens without loading Alembic.
HEAD = "0002"

MIGRATIONS = Path(__file__).parent / "migrations"


def bring_up_to_date(database: Database) -> None:
    """Make the tables of a new database, migrate those of an older one, leave a current one alone.

    Raises `StoreError` for a database of something else or of a newer version of ours.
    """
    with database.reading() as connection:
        if _version(connection, database.name) == HEAD:
            return
    with database.writing() as connection:  # whoever comes second finds the work done
        version = _version(connection, database.name)
        if version != HEAD:
            _upgrade(connection, version, database.name)


def alembic_config(connection: Connection) -> Config:
    """Alembic's settings, with the script directory inside this package."""
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS).replace("%", "%%"))
    config.attributes["connection"] = connection
    return config


def _version(connection: Connection, name: str) -> str | None:
    """The version a database says it has, ``None`` for an empty one."""
    inspector = inspect(connection)
    if not inspector.has_table("alembic_version"):
        if inspector.get_table_names():
            raise StoreError(f"the database {name} holds the tables of something else; nothing was written")
        return None
    return connection.scalar(select(table("alembic_version", column("version_num")).c.version_num))


def _upgrade(connection: Connection, version: str | None, name: str) -> None:
    from alembic import command
    from alembic.script import ScriptDirectory

    config = alembic_config(connection)
    known = {script.revision for script in ScriptDirectory.from_config(config).walk_revisions()}
    if version is not None and version not in known:
        raise StoreError(
            f"the database {name} was written by a newer Lidoff (version {version} of its tables, "
            f"{HEAD} is the newest known here); update Lidoff to open it"
        )
    command.upgrade(config, "head")
