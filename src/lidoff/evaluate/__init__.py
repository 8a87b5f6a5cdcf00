"""One pipeline from records to findings: mass, layout, energy, cost, and the check of the records."""

from .changes import ChangeConflict, ChangeError, apply_edits
from .doubts import check, check_pack
from .findings import (
    CostLine,
    CostStatus,
    Covers,
    Doubt,
    Figure,
    Findings,
    MassLine,
    Money,
    PackFindings,
    RouteStepCost,
    Term,
    WorkedLine,
)
from .names import FIGURES, FigureKind
from .pipeline import TOPICS, evaluate

__all__ = [
    "FIGURES",
    "TOPICS",
    "ChangeConflict",
    "ChangeError",
    "CostLine",
    "CostStatus",
    "Covers",
    "Doubt",
    "Figure",
    "FigureKind",
    "Findings",
    "MassLine",
    "Money",
    "PackFindings",
    "RouteStepCost",
    "Term",
    "WorkedLine",
    "apply_edits",
    "check",
    "check_pack",
    "evaluate",
]
