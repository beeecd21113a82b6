"""What a plain line says, on a real log: its words, saving it, and notes of many lines brought in."""
