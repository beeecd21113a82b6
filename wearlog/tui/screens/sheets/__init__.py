"""Every sheet of the log, its rows, and the form of one row."""
