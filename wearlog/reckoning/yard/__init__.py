"""What is seen at a glance: the yard, one machine, the brief."""
