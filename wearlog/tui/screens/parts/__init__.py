"""Screens of parts: breakages, stock, fitting, measuring."""
