"""The only layer that knows the database. Facts and arrays go out; no row object does."""
