"""Screens of work: runs, readings, stoppages."""
