"""How Alembic runs here: on the connection it is given, inside that connection's transaction."""

from __future__ import annotations

from alembic import context

from lidoff.store import log_tables, tables
from lidoff.store.columns import Base

assert log_tables and tables  # imported to fill the metadata

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Base.metadata,
    render_as_batch=True,
    transactional_ddl=True,
)
with context.begin_transaction():
    context.run_migrations()
