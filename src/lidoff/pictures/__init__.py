"""Pictures: pure functions from numbers to SVG text, shared by pages and reports."""

from .bars import Amount, Elements, Group, by_element, paired
from .closure import Closing, closure
from .contributions import Contribution, contributions
from .evidence import Shares, evidence_bar, shares
from .palette import DARK, LIGHT, PAGE, Palette
from .parts import PlanParts, plan_parts
from .plan import Plan, plans
from .removals import Series, removals
from .stacked import Segment, Stack, stacked
from .timeline import Span, timeline
from .waterfall import Move, waterfall
from .whisker import common_scale, whisker

__all__ = [
    "DARK",
    "LIGHT",
    "PAGE",
    "Amount",
    "Closing",
    "Contribution",
    "Elements",
    "Group",
    "Move",
    "Palette",
    "Plan",
    "PlanParts",
    "Segment",
    "Series",
    "Shares",
    "Span",
    "Stack",
    "by_element",
    "closure",
    "common_scale",
    "contributions",
    "evidence_bar",
    "paired",
    "plan_parts",
    "plans",
    "removals",
    "shares",
    "stacked",
    "timeline",
    "waterfall",
    "whisker",
]
