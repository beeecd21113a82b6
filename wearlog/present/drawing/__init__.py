"""Strips, bars, chances and ranges in few characters, the same on every width; what they show of a farm is said elsewhere."""
