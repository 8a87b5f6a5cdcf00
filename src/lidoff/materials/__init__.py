"""Materials: densities and other properties with their sources, and the names people write."""

from .recognise import Recognised, recognise
from .table import COATINGS, MATERIALS, Coating, Material, MaterialError, Property, load_materials

__all__ = [
    "COATINGS",
    "MATERIALS",
    "Coating",
    "Material",
    "MaterialError",
    "Property",
    "Recognised",
    "load_materials",
    "recognise",
]
