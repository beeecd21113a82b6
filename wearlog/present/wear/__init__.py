"""How long parts last, in words, tables and charts."""
