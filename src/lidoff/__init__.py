"""Lidoff: battery-pack teardown records in, compared, costed and explained packs out."""

__version__ = "0.1.0"
