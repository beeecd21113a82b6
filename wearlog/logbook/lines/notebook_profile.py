"""What a person has said of a notebook, kept in the log under its name: what columns hold, what words mean, the order of days."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace

from wearlog.facts.fact import Fact
from wearlog.facts.papers import ImportProfile
from wearlog.logbook.notebook.holds import Holds
from wearlog.logbook.notebook.understanding import NotebookWords
from wearlog.store.finding import find_all
from wearlog.store.opening import Store


def kept_words(store: Store, name: str) -> NotebookWords:
    """Return what is kept under a name; nothing where nothing is."""
    with store.reading() as connection:
        found = find_all(connection, ImportProfile, name=name)
    if not found:
        return NotebookWords()
    content = json.loads(found[-1].content)
    columns = {key: Holds(value) for key, value in content.get("columns", {}).items() if value in set(Holds)}
    return NotebookWords(columns=columns, words=content.get("words", {}), order=content.get("order", ""))


def with_said(kept: NotebookWords, said: NotebookWords) -> NotebookWords:
    """Return what is kept with what is said now; what is said now goes before."""
    return NotebookWords(
        columns={**kept.columns, **said.columns},
        words={**kept.words, **said.words},
        answers=said.answers,
        order=said.order or kept.order,
    )


def profile_facts(store: Store, name: str, words: NotebookWords) -> tuple[Sequence[Fact], Sequence[Fact]]:
    """Return what is to be kept: a new profile, or the one there changed; nothing where nothing was said or it is the same."""
    content = json.dumps(
        {
            "columns": {key: value.value for key, value in sorted(words.columns.items())},
            "order": words.order,
            "words": dict(sorted(words.words.items())),
        },
        sort_keys=True,
    )
    if not (words.columns or words.words or words.order):
        return (), ()
    with store.reading() as connection:
        found = find_all(connection, ImportProfile, name=name)
    if not found:
        return (ImportProfile(name=name, content=content),), ()
    if found[-1].content == content:
        return (), ()
    return (), (replace(found[-1], content=content),)
