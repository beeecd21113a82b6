"""The commands. Each group is a module of its own, loaded when it is called."""
