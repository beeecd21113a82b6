"""Three sets of colours: daylight (dark ink on white), dark, high contrast. Every ink has a contrast of 7 or more."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from textual.cache import LRUCache
from textual.css.stylesheet import Stylesheet
from textual.theme import Theme


@dataclass(frozen=True, slots=True)
class Inks:
    """Colours by what they are for. Nothing is told by colour alone: a word or mark stands beside it.

    `quiet` is for what matters less, `mark` for titles and keys, `alarm` for what presses. `chosen` is the loudest: the answer
    has it, and of the row under the cursor its sign alone; the rest of that row lies on `row_paper`.
    """

    paper: str
    band: str
    ink: str
    quiet: str
    mark: str
    alarm: str
    chosen_paper: str
    chosen_ink: str
    row_paper: str


#: name -> colours; the first is the usual one
INKS: dict[str, Inks] = {
    "daylight": Inks("#ffffff", "#e4e9ee", "#000000", "#333333", "#00317a", "#7d0000", "#00317a", "#ffffff", "#c5d3e4"),
    "dark": Inks("#101418", "#222a32", "#f4f4f0", "#cdd3d8", "#9fd6ff", "#ffc0b5", "#f2c14e", "#000000", "#2c3640"),
    "high-contrast": Inks(
        "#000000", "#000000", "#ffffff", "#ffffff", "#ffff00", "#ffff00", "#ffff00", "#000000", "#303030"
    ),
}
USUAL_THEME = next(iter(INKS))


def _theme(name: str, inks: Inks) -> Theme:
    return Theme(
        name=name,
        primary=inks.mark,
        secondary=inks.mark,
        accent=inks.mark,
        warning=inks.alarm,
        error=inks.alarm,
        success=inks.mark,
        foreground=inks.ink,
        background=inks.paper,
        surface=inks.paper,
        panel=inks.band,
        boost=inks.band,
        dark=name != "daylight",
        variables={
            "paper": inks.paper,
            "band": inks.band,
            "ink": inks.ink,
            "quiet": inks.quiet,
            "mark": inks.mark,
            "alarm": inks.alarm,
            "chosen-paper": inks.chosen_paper,
            "chosen-ink": inks.chosen_ink,
            "row-paper": inks.row_paper,
            "block-cursor-foreground": inks.chosen_ink,
            "block-cursor-background": inks.chosen_paper,
            "input-cursor-background": inks.chosen_paper,
            "input-cursor-foreground": inks.chosen_ink,
            "input-selection-background": inks.chosen_paper,
            "input-selection-foreground": inks.chosen_ink,
            "scrollbar": inks.quiet,
            "scrollbar-hover": inks.mark,
            "scrollbar-active": inks.mark,
            "scrollbar-background": inks.band,
            "scrollbar-background-hover": inks.band,
            "scrollbar-background-active": inks.band,
            "scrollbar-corner-color": inks.band,
        },
    )


THEMES: tuple[Theme, ...] = tuple(_theme(name, inks) for name, inks in INKS.items())


#: styles kept as they were read; all screens together have about two hundred
_STYLES_KEPT: Final = 1024


class KeptStyles(Stylesheet):
    """Styles that are read anew only where colours are others; the framework reads all of them twice at a start, and keeps 64."""

    def __init__(self, variables: dict[str, str]) -> None:
        super().__init__(variables=variables)
        self._parse_cache = LRUCache(_STYLES_KEPT)
        self._is_other = False

    def set_variables(self, variables: dict[str, str]) -> None:
        """Take other colours; the same ones change nothing."""
        if variables != self._variables:
            self._is_other = True
            super().set_variables(variables)

    def reparse(self) -> None:
        """Read all styles anew with other colours; with the same ones only what is new is read, when it is asked for."""
        if self._is_other:
            self._is_other = False
            super().reparse()
