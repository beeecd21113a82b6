"""The season plan in words."""
