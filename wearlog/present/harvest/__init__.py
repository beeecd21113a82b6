"""The harvest in words."""
