"""Numbers as a bench knows them: readings, units at the edge, spreads, sampling."""

from .dimension import Dimension
from .reading import Basis, Evidence, Reading, Word
from .spread import Shape, Spread
from .units import Unit, UnitError, convert, fits, parse_unit

__all__ = [
    "Basis",
    "Dimension",
    "Evidence",
    "Reading",
    "Shape",
    "Spread",
    "Unit",
    "UnitError",
    "Word",
    "convert",
    "fits",
    "parse_unit",
]
