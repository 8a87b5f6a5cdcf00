"""The data check: what looks wrong in the records, or is missing, and what to do about it."""

from .all import KINDS, check, check_pack

__all__ = ["KINDS", "check", "check_pack"]
