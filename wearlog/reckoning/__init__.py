"""What the log means: reads histories, calls the maths, returns frozen answers. Writes nothing, words nothing."""
