"""The trade's library of part kinds, one module for a few subsystems each; starting_guesses.py puts them together."""
