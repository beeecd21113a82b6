"""The yard, one machine, the brief and the first day in words."""
