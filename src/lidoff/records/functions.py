"""What an item is there for."""

from __future__ import annotations

from enum import StrEnum


class Function(StrEnum):
    """The function of an item; a comparison's scope is a set of these."""

    CELLS = "cells"
    MODULE = "module"
    INTERCONNECT = "interconnect"
    BUSBARS = "busbars"
    SWITCHING = "switching"
    MONITORING = "monitoring"
    CONVERSION = "conversion"
    COOLING = "cooling"
    TRAY = "tray"
    COVER = "cover"
    SEAL = "seal"
    INSULATION = "insulation"
    FASTENERS = "fasteners"
    MOUNT = "mount"
    INTERFACE = "interface"
    COOLANT = "coolant"


FUNCTIONS: tuple[Function, ...] = tuple(Function)
