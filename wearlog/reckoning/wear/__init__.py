"""How long parts last here and what the coming acres threaten."""
