"""Frozen records in SI: what the bench knows, and nothing computed."""

from .change import Change, Edit, EditKind
from .correlation import Correlation
from .facts import FACTS, Fact, FactKind
from .functions import FUNCTIONS, Function
from .item import Item, Marking
from .joint import Joint
from .pack import Pack, Question, Rejection
from .route import Route, RouteStep
from .scenario import Scenario
from .step import Removal, Step
from .study import Study

__all__ = [
    "FACTS",
    "FUNCTIONS",
    "Change",
    "Correlation",
    "Edit",
    "EditKind",
    "Fact",
    "FactKind",
    "Function",
    "Item",
    "Joint",
    "Marking",
    "Pack",
    "Question",
    "Rejection",
    "Removal",
    "Route",
    "RouteStep",
    "Scenario",
    "Step",
    "Study",
]
