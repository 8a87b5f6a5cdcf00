"""Workbook and text in: bench files read into packs."""

from .bundle import Bundle, BundledFile, BundleError, read_bundle, write_bundle
from .importing import Imported, read_bench
from .sheets import BenchFileError

__all__ = [
    "BenchFileError",
    "Bundle",
    "BundleError",
    "BundledFile",
    "Imported",
    "read_bench",
    "read_bundle",
    "write_bundle",
]
