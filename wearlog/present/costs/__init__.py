"""Costs in words and charts."""
