"""What the machines cost."""
