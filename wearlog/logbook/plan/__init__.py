"""Entering the plan of a season."""
