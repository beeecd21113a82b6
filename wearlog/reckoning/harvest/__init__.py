"""How far the harvest has come and how well it is measured."""
