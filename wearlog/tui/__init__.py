"""The screens: for a tired person in a cab in sunlight. Everything about the log is asked through the gateway."""
