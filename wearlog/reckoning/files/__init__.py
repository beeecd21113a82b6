"""The log itself: its history, and rows that two laptops changed apart."""
