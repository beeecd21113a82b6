"""Questions about several cabs' logs: what is to be settled, joined or mended here, packing, looking at a bundle, taking it in."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Final
from uuid import UUID

from wearlog.errors import NotFoundError, RefusedError, UsageError
from wearlog.facts.plain_text import one_line

if TYPE_CHECKING:
    from wearlog.exchange.bundle_file import Bundle
    from wearlog.exchange.two_cabs import TwoCabs
    from wearlog.facts.fact import Fact
    from wearlog.tui.door import Door

#: a folder is named: the bundle in it is called so
USUAL_BUNDLE: Final = "wearlog.bundle"
_UNDOES: Final = "u undoes."


@dataclass(frozen=True, slots=True)
class CabRow:
    """One thing to look at or decide.

    Attributes
    ----------
    name : str
        Stays the same while other rows come and go.
    what, said : str
        What sort it is, and the thing itself.
    details : callable
        The lines under the list in so many columns.
    ahead : callable or None
        Asks the log what the first choice would do.
    choices : tuple
        What can be chosen: its words, and the question that does it and returns what was done.
    """

    name: str
    what: str
    said: str
    details: Callable[[int], Sequence[str]]
    ahead: Callable[[Door], Sequence[str]] | None = None
    choices: tuple[tuple[str, Callable[[Door], str]], ...] = ()


@dataclass(frozen=True, slots=True)
class CabsPage:
    """What is to be decided, with the sentence that counts it; the devices whose bundles were merged here."""

    answer: str
    here: str
    rows: tuple[CabRow, ...]


def cabs_page(door: Door) -> CabsPage:
    """Return what is to be settled, joined or mended."""
    from wearlog.exchange.two_cabs import two_cabs

    log = door.log
    view = two_cabs(log, door.farm_now())
    rows = (*_to_settle(view), *_twice(view), *_again(view), *_to_mend(view))
    name = log.location.file.name if log.location.file is not None else log.location.name
    return CabsPage(_counted(view), f"This is '{one_line(log.device)}', {name}.", rows)


def _counted(view: TwoCabs) -> str:
    from wearlog.present.words import counted

    said = []
    if view.apart.rows:
        said.append(f"{counted(len(view.apart.rows), 'row')} to settle")
    if view.twins.offers:
        said.append(f"{counted(len(view.twins.offers), 'thing looks', 'things look')} entered twice")
    if view.twins.later:
        said.append(f"{counted(view.twins.later, 'joined entry was', 'joined entries were')} written to again")
    if view.findings:
        said.append(f"{len(view.findings):,} to mend")
    return f"{', '.join(said)}." if said else "Nothing is to be settled, joined or mended."


def _to_settle(view: TwoCabs) -> Iterator[CabRow]:
    from wearlog.present.files.apart_words import row_called, side_lines

    for row in view.apart.rows:
        choices = tuple(
            (
                f"keep {number}: '{one_line(side.device)}'{' (shown now)' if number == 1 else ''}",
                _keeping(row.row_id, number),
            )
            for number, side in enumerate(row.sides, 1)
        )
        called = row_called(row, view.apart.names)
        yield CabRow(f"settle {row.row_id}", "settle", called, partial(side_lines, row, view.apart), choices=choices)


def _keeping(row_id: UUID, number: int) -> Callable[[Door], str]:
    def keep(door: Door) -> str:
        from wearlog.logbook.files.undo import settle
        from wearlog.present.words import capital

        return f"{capital(settle(door.log, {row_id: number}).said)}. Both stay in the history."

    return keep


def _twice(view: TwoCabs) -> Iterator[CabRow]:
    for offer, (kept, twin) in zip(view.twins.offers, view.twins.rows, strict=True):
        lines = (
            f"{one_line(offer.kept)}, entered on '{one_line(offer.devices[0])}'",
            f"{one_line(offer.twin)}, entered on '{one_line(offer.devices[1])}'",
            f"What is alike: {offer.why}.",
        )
        # the number names one of the two alone
        called = offer.kept.partition("(")[2].rstrip(")")
        yield CabRow(
            f"twice {kept.id} {twin.id}",
            "twice",
            one_line(f"{offer.kept} and {offer.numbers[1]}: {offer.why}"),
            partial(_as_they_are, lines),
            partial(_join_ahead, kept=kept, twin=twin, called=called),
            (
                ("one thing: join them", partial(_join, kept=kept, twin=twin, called=called)),
                (
                    "two things: offer them no more",
                    partial(_apart, kept=kept, twin=twin, called=f"{offer.kept} and {offer.twin}"),
                ),
            ),
        )


def _as_they_are(lines: Sequence[str], _: int) -> Sequence[str]:
    return lines


def _join_ahead(door: Door, kept: Fact, twin: Fact, called: str) -> Sequence[str]:
    from wearlog.logbook.twins.joining import join
    from wearlog.present.files.twin_words import joined_lines

    return [line.strip() for line in joined_lines(join(door.log, kept, twin, called, dry_run=True))]


def _join(door: Door, kept: Fact, twin: Fact, called: str) -> str:
    from wearlog.logbook.twins.joining import join
    from wearlog.present.words import capital

    return f"{capital(join(door.log, kept, twin, called).said)}. u parts them again."


def _apart(door: Door, kept: Fact, twin: Fact, called: str) -> str:
    from wearlog.logbook.twins.joining import keep_apart
    from wearlog.present.words import capital

    return f"{capital(keep_apart(door.log, kept, twin, called).said)}. {_UNDOES}"


def _again(view: TwoCabs) -> Iterator[CabRow]:
    from wearlog.present.words import counted

    if view.twins.later:
        said = (
            f"{counted(view.twins.later, 'joined entry was', 'joined entries were')} written to again on another laptop"
        )
        lines = (f"{said}, before it knew of the join.",)
        yield CabRow(
            "again", "again", said, partial(_as_they_are, lines), choices=(("bring that along", _bring_along),)
        )


def _bring_along(door: Door) -> str:
    from wearlog.logbook.twins.joining import join_again
    from wearlog.present.words import capital

    done = join_again(door.log)
    return "Nothing was written to what was joined." if done is None else f"{capital(done.said)}. {_UNDOES}"


def _to_mend(view: TwoCabs) -> Iterator[CabRow]:
    for number, one in enumerate(view.findings):
        lines = (one_line(one.message), one_line(one.hint))
        yield CabRow(f"mend {one.row_id} {number}", "mend", one_line(one.message), partial(_as_they_are, lines))


# bundles ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Looked:
    """A bundle that was read and looked at: what it would bring, and whether there is anything new in it."""

    bundle: Bundle
    lines: tuple[str, ...]
    entries: int


def bundle_path(text: str) -> Path:
    """Return the file that is meant; UsageError when none is named."""
    clean = text.strip()
    if not clean:
        raise UsageError("No file is named.", "Write where the stick is, like /media/stick or E:/.")
    return Path(clean).expanduser()


def others_known(door: Door) -> tuple[str, ...]:
    """Return the devices of which it is known what they have."""
    from wearlog.exchange.bundles import known_copies

    return tuple(sorted(known_copies(door.log.location.name)))


def pack_into(door: Door, path: Path, since: str = "") -> str:
    """Pack this log, into the usual name where a folder is named."""
    from wearlog.exchange.bundles import pack
    from wearlog.present.words import counted

    done = pack(door.log, path / USUAL_BUNDLE if path.is_dir() else path, since=since)
    older = ", in place of an older bundle" if done.replaced else ""
    return f"Packed {counted(done.entries, 'entry', 'entries')} into {done.file}{older}."


def look_into(door: Door, path: Path) -> Looked:
    """Read a bundle and say what it would bring."""
    from wearlog.exchange.bundle_file import read_bundle
    from wearlog.exchange.bundles import look_at
    from wearlog.exchange.two_cabs import ahead_lines

    bundle = read_bundle(_bundle_in(path) if path.is_dir() else path)
    ahead = look_at(door.log, bundle)
    return Looked(bundle, tuple(one_line(line) for line in ahead_lines(ahead, door.log.device)), ahead.entries)


def _bundle_in(folder: Path) -> Path:
    try:
        found = sorted(folder.glob("*.bundle"))
    except OSError as error:
        raise RefusedError(f"{folder} cannot be read: {error.strerror}.", "Look whether the stick is in.") from error
    if len(found) == 1:
        return found[0]
    if not found:
        raise NotFoundError(f"There is no bundle in {folder}.", "Pack one on the other laptop first.")
    raise UsageError(f"There are {len(found)} bundles in {folder}.", f"Name one, like {found[0].name}.")


def take_in_bundle(door: Door, bundle: Bundle) -> str:
    """Take in what was looked at, all of it or nothing, and say what is to be done now."""
    from wearlog.exchange.bundles import merge
    from wearlog.present.words import counted

    ahead = merge(door.log, bundle)
    return f"Taken in: {counted(ahead.entries, 'entry', 'entries')}. {cabs_page(door).answer}"
