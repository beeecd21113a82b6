"""The grammar of the screens' characters, which tests hold every screen and every strip against."""

from __future__ import annotations

from typing import Final

#: what screens are made of beside ASCII; every one takes one cell
CHARACTERS: Final = frozenset("▲●○•■□█▓▒░▌─│├┤┼═╞╡·←→½¼¾")
