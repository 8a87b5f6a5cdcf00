"""Where the spread of a figure comes from, and what to measure next."""
