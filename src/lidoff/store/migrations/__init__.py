"""Alembic migrations of the store, run when a workspace is opened.

A change of the tables takes a new file in ``versions`` and a new `lidoff.store.schema.HEAD`; the
tests say where tables and migrations differ.
"""
