"""Use cases: what the command line, the Python API and the page call.

from lidoff.app import Workspace

desk = Workspace.open("lidoff-data")
desk.import_file("bench.xlsx", study="vans", pack="first", accept="all")
findings = desk.evaluate("vans")
"""

from .errors import NothingToDo, UserError
from .workspace import Workspace

__all__ = ["NothingToDo", "UserError", "Workspace"]
