"""Report: what a client reads, as HTML and PDF, made of findings and a comparison."""

from .write import FORMATS, ReportError, write_report

__all__ = ["FORMATS", "ReportError", "write_report"]
