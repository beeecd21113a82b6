"""Entering what the farm has: machines, settings, the first day."""
