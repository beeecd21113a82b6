"""Electrical faults: circuits, suspects, the next check, the trail over seasons, has the fix held. Pure: no database, no screen."""
