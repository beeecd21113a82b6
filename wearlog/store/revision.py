"""Which shape of the tables this program writes, known without loading the migrations (a test holds the two together)."""

from __future__ import annotations

#: every revision there has been, oldest first; the last is what this program reads and writes
REVISIONS = ("0001", "0002")
HEAD = REVISIONS[-1]

#: stands in the header of every file of ours ("WEAR"); SQLite keeps it at byte 68
APPLICATION_ID = 0x57454152
