"""Where the spread of a figure comes from, and what to measure next."""

from .answer import SpreadOf, Spreads, spreads
from .measure import Proposal
from .named import InputKind, Named
from .shares import REST, Share, Shares
from .target import Target, between, of_pack

__all__ = [
    "REST",
    "InputKind",
    "Named",
    "Proposal",
    "Share",
    "Shares",
    "SpreadOf",
    "Spreads",
    "Target",
    "between",
    "of_pack",
    "spreads",
]
