"""Electrical faults as the log tells them."""
