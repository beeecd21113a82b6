"""wearlog: the log and the reckoning of wear for the combines of a grain farm."""

__version__ = "0.2.0"

#: set to anything where output is to be ASCII alone; `--plain` sets it
PLAIN_SETTING = "WEARLOG_PLAIN"
