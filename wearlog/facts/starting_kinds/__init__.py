"""The library of part kinds, one module for a few subsystems each; what figures mean stands in kind_table.py, beside the rows."""
