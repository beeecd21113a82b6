"""The demo fleet: CSV sheets of an invented farm and the seeded generator that wrote them. Nothing here is a real farm's data."""
