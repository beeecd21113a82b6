"""Screens of electrical faults."""
