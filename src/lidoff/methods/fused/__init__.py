"""Fused: books as generated functions, for when many lines or samples are to be run."""

from .plan import Plan, write_plan
from .quick import Quick, quick, quick_samples

__all__ = ["Plan", "Quick", "quick", "quick_samples", "write_plan"]
