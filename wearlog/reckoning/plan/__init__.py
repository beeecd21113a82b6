"""The winter's decision: lines, ways, spares, and what is done of it."""
