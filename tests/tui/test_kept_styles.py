"""Styles of the screens are read once, and anew where the colours are others."""

from __future__ import annotations

from textual.color import Color

from wearlog.tui.themes import KeptStyles

SHEET = "Screen { background: $paper; }"


def papers(styles: KeptStyles) -> list[Color]:
    return [rule.styles.background for rule in styles.rules]


def test_the_same_colours_leave_what_was_read_and_others_read_it_anew() -> None:
    styles = KeptStyles({"paper": "#ffffff"})
    styles.add_source(SHEET, ("here", "one"))
    first = styles.rules
    assert papers(styles) == [Color.parse("#ffffff")]
    styles.set_variables({"paper": "#ffffff"})
    styles.reparse()
    assert styles.rules is first
    styles.set_variables({"paper": "#101418"})
    styles.reparse()
    assert papers(styles) == [Color.parse("#101418")]


def test_what_is_added_later_is_read_with_the_colours_of_now() -> None:
    styles = KeptStyles({"paper": "#ffffff"})
    styles.add_source(SHEET, ("here", "one"))
    assert len(styles.rules) == 1
    styles.set_variables({"paper": "#101418"})
    styles.add_source("Widget { background: $paper; }", ("here", "two"))
    styles.reparse()
    assert papers(styles) == [Color.parse("#101418")] * 2
