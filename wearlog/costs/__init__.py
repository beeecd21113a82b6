"""What the machines cost: every repair shared out to the cent, the published curves beside it, and what an hour is worth.

Pure: arrays and frozen dataclasses in, frozen dataclasses out, money in whole minor units. No database, no screen.
"""
