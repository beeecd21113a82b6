"""The shelf, what was measured, and the bar of positions in words."""
