"""What to do before the season: what to replace, what to carry, what to buy within a budget.

Pure: arrays and frozen dataclasses in, frozen dataclasses out, money in whole minor units. No database, no screen.
"""
