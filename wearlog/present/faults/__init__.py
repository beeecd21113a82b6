"""Electrical faults in words."""
