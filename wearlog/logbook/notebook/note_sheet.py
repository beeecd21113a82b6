"""A sheet of a notebook as it was found: rows of text, counted as a spreadsheet counts them. Frozen records."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class NoteSheet:
    """One sheet.

    Attributes
    ----------
    name : str
        As the workbook calls it; "csv" of a text file.
    rows : sequence of sequence of str
        Every row from the first on, blank ones too; each as long as it is written. Cells are plain text without controls.
    decimal_comma : bool or None
        How its figures are written; None where its cells were numbers and not text.
    """

    name: str
    rows: Sequence[Sequence[str]]
    decimal_comma: bool | None = None
