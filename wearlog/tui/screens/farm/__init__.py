"""Screens of the farm: yard, machine, first day, settings."""
