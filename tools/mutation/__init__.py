"""Mutants of method books: one constant, operator, unit or lookup changed at a time."""
