"""Entering what breaks, is fitted, moved, measured, and lies on the shelf."""
