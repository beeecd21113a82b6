"""Answers in words and digits: the same sentence, unit and rounding for screens, commands and reports."""
