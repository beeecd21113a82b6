"""The log itself in words: its history, what looks wrong in it, what two laptops changed apart."""
