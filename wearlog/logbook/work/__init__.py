"""Entering what machines did: readings, runs, stoppages, upkeep."""
