"""Behaviour: migrations and tables say the same, every field of a record has its place."""

from __future__ import annotations

import re
import sqlite3
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, fields
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Column, Connection, MetaData, Table, Text, create_engine
from sqlalchemy.dialects import postgresql
from sqlalchemy.schema import CreateTable

from lidoff.records import Correlation, Item, Study
from lidoff.store import Store, log_tables, tables
from lidoff.store.columns import Base
from lidoff.store.layout import LAYOUTS, _layout
from lidoff.store.schema import HEAD, MIGRATIONS, alembic_config
from lidoff.store.terms import Kind


@contextmanager
def migrated() -> Iterator[Connection]:
    """A database brought up by the migrations alone."""
    engine = create_engine("sqlite://")
    with engine.begin() as connection:
        command.upgrade(alembic_config(connection), "head")
        yield connection
    engine.dispose()


def differences(connection: Connection, metadata: MetaData) -> list[object]:
    context = MigrationContext.configure(
        connection, opts={"compare_type": True, "compare_server_default": True}
    )
    return list(compare_metadata(context, metadata))


def parts(connection: Connection) -> dict[str, list[str]]:
    """What each table and index is made of, part by part, whatever their order and spacing."""
    rows = connection.exec_driver_sql("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    found = {}
    for name, sql in rows:
        head, body = re.sub(r'[\s"]+', " ", sql).strip().removesuffix(")").split("(", 1)
        if name != "alembic_version":
            found[name] = [head, *sorted(p.strip() for p in re.split(r",(?![^()]*\))", body))]
    return found


def test_the_migrations_make_the_tables(capsys: pytest.CaptureFixture[str]) -> None:
    assert tables and log_tables
    with migrated() as connection:
        assert differences(connection, Base.metadata) == []
        by_migration = parts(connection)
    with create_engine("sqlite://").begin() as connection:
        Base.metadata.create_all(connection)
        assert parts(connection) == by_migration
    assert len(by_migration) > 20
    assert capsys.readouterr().out == ""


def test_a_column_without_a_migration_is_seen() -> None:
    changed = MetaData(naming_convention=Base.metadata.naming_convention)
    for table in Base.metadata.sorted_tables:
        table.to_metadata(changed)
    changed.tables["item"].append_column(Column("colour", Text))
    Table("claim", changed, Column("id", Text, primary_key=True))
    with migrated() as connection:
        found = differences(connection, changed)
    assert [(d[0], getattr(d[-1], "name", "")) for d in found] == [  # type: ignore[index]
        ("add_table", "claim"),
        ("add_column", "colour"),
    ]


def test_the_way_down_leaves_nothing() -> None:
    with migrated() as connection:
        command.downgrade(alembic_config(connection), "base")
        assert parts(connection) == {}


def test_one_line_of_migrations_ends_at_the_head_we_know() -> None:
    with create_engine("sqlite://").connect() as connection:
        script = ScriptDirectory.from_config(alembic_config(connection))
    assert script.get_heads() == [HEAD]
    assert script.get_bases() == ["0001"]


def test_the_migrations_are_in_the_package() -> None:
    """Only directories that are packages, all the way down, go into a wheel."""
    scripts = list(MIGRATIONS.rglob("*.py"))
    assert any(script.name.startswith("v0001") for script in scripts)
    for script in scripts:
        assert (script.parent / "__init__.py").exists()


def test_the_tables_are_no_dialect_of_sqlite() -> None:
    for table in Base.metadata.sorted_tables:
        text = str(CreateTable(table).compile(dialect=postgresql.dialect()))  # type: ignore[no-untyped-call]
        assert "CREATE TABLE" in text
    text = str(CreateTable(Base.metadata.tables["scenario"]).compile(dialect=postgresql.dialect()))  # type: ignore[no-untyped-call]
    assert "volume DOUBLE PRECISION NOT NULL" in text


def test_every_field_has_its_place() -> None:
    for layout in LAYOUTS.values():
        kept = (
            {name for name, _ in layout.columns}
            | set(layout.lists)
            | set(layout.readings)
            | set(layout.words)
        )
        assert kept | {"id"} == {f.name for f in fields(layout.cls)} | {"id"}
        assert {name for name, _ in layout.columns} == set(layout.table.columns.keys()) - {"record"}


def test_a_field_without_a_place_is_told() -> None:
    @dataclass(frozen=True, slots=True, kw_only=True)
    class Odd:
        id: str
        blob: bytes

    Odd.__annotations__["blob"] = bytes
    with pytest.raises(TypeError, match=r"the store has no place for Odd\.blob"):
        _layout(Kind.ITEM, Odd, tables.ItemRow)
    assert _layout(Kind.ITEM, Item, tables.ItemRow) == LAYOUTS[Kind.ITEM]


def test_a_slot_name_means_one_thing() -> None:
    """Rows of lists and of single readings are told apart by their slot's name alone."""
    lists = {name for layout in LAYOUTS.values() for name in layout.lists}
    single = {name for layout in LAYOUTS.values() for name in (*layout.readings, *layout.words)}
    assert not lists & single
    for layout in LAYOUTS.values():  # tables without a slot hold one field's rows
        assert max(map(len, (layout.markings, layout.extras, layout.edits))) <= 1


def test_how_a_connection_is_set_up(store: Store) -> None:
    store.create_study("s", who="Ines")
    with store._database.reading() as connection:
        found = [
            connection.exec_driver_sql(f"PRAGMA {name}").scalar()
            for name in ("foreign_keys", "journal_mode", "busy_timeout", "synchronous")
        ]
    assert found == [1, "wal", 5000, 2]  # 2 is FULL


def test_a_current_database_opens_at_once_and_without_alembic(workspace: Path) -> None:
    Store.open(workspace).close()
    script = f"""
import sys, time
from pathlib import Path
import lidoff.store
assert "sqlalchemy" not in sys.modules, "the package alone loads no SQLAlchemy"
from lidoff.store import Store, StoreError
start = time.perf_counter()
Store.open(Path({str(workspace)!r})).close()
assert "alembic" not in sys.modules, "a current database needs no Alembic"
print(time.perf_counter() - start)
"""
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert float(done.stdout) < 0.25  # a few milliseconds; the rest for a busy machine


def test_an_older_database_is_brought_up_to_date(workspace: Path) -> None:
    """Opening migrates: here from the state before the first migration."""
    Store.open(workspace).close()
    with create_engine(f"sqlite:///{workspace}/lidoff.db").begin() as connection:
        command.downgrade(alembic_config(connection), "base")
    with Store.open(workspace) as opened:
        assert opened.create_study("s", who="Ines") == 1
    with closing(sqlite3.connect(workspace / "lidoff.db")) as database:
        assert database.execute("SELECT version_num FROM alembic_version").fetchall() == [(HEAD,)]


def test_a_database_of_the_first_tables_keeps_its_records(workspace: Path) -> None:
    pair = Correlation(id="c", first="a.mass", second="b.mass", rank=0.5, why="one scale")
    with Store.open(workspace) as opened:
        opened.save_study(Study(id="s", name="Birds"), who="Ines", summary="")
    with create_engine(f"sqlite:///{workspace}/lidoff.db").begin() as connection:
        command.downgrade(alembic_config(connection), "0001")
    with Store.open(workspace) as opened:
        assert opened.load("s").name == "Birds"
        opened.save_correlations("s", [pair], who="Ines", summary="as declared")
        assert opened.load("s").correlations == (pair,)
        opened.save_correlations("s", [], who="Ines", summary="taken back")
        assert opened.load("s").correlations == ()


def test_opening_again_takes_milliseconds(workspace: Path) -> None:
    Store.open(workspace).close()
    times = []
    for _ in range(5):
        start = time.perf_counter()
        Store.open(workspace).close()
        times.append(time.perf_counter() - start)
    assert min(times) < 0.05
