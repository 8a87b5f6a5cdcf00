"""Fuzzing of what people may write: formulas, method books, values on the command line."""
