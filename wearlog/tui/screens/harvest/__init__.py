"""Screens of the harvest."""
