"""The farm as every reckoning reads it: its facts, its meter lines, its names."""
