"""Workbook and text in: bench files read into packs."""

from .importing import Imported, read_bench
from .sheets import BenchFileError

__all__ = ["BenchFileError", "Imported", "read_bench"]
