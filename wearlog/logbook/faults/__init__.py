"""Entering circuits and electrical faults."""
