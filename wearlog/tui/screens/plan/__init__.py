"""Screens of the season plan."""
