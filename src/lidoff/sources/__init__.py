"""The citation table: what a number rests on, and whether anybody has seen the page."""

from .table import SOURCES, Kind, Seen, Source, SourceError, cite, cited, load_sources, source

__all__ = ["SOURCES", "Kind", "Seen", "Source", "SourceError", "cite", "cited", "load_sources", "source"]
