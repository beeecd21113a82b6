"""What screens are made of: lists, strips, bars, lines. None of them knows the log."""
