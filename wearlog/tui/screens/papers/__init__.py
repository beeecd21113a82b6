"""Papers: what stands in a notebook or on a printed sheet comes into the log."""
