"""Units by definition, for the edge of a figure."""

WATT_HOUR = 3600.0  # J
LITRE = 1e-3  # m³
