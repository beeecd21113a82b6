"""wearlog: the log and the reckoning of wear for the combines of a grain farm."""

__version__ = "0.1.0"
