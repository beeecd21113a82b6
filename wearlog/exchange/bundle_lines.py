"""The form of a bundle: lines of JSON. How a deed and a version stand in one, and what is refused of a line from elsewhere."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Set
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache
from typing import Any, Final, NoReturn
from uuid import UUID

from wearlog.errors import VersionError
from wearlog.facts.bookkeeping import Deed, Version
from wearlog.facts.closed_lists import Doing
from wearlog.facts.plain_text import acts_on_a_terminal
from wearlog.ids import read_id
from wearlog.store.content import digest_of_written
from wearlog.store.incoming import ToldVersion
from wearlog.store.packing import MOST_BYTES
from wearlog.store.revision import HEAD, REVISIONS
from wearlog.store.straight_rows import ROW_ID
from wearlog.store.telling import Reach, fact_of_strange, straight_table_of
from wearlog.store.written_form import WRITTEN_ID

#: the form of the lines; a newer one has a higher number
FORM: Final = 1
_MARK: Final = "wearlog_bundle"
_DEED: Final = ("id", "recorded_at", "device", "said", "undoes_deed_id", "person", "digest")
_VERSION: Final = ("id", "row_id", "table_name", "doing", "revision", "content", "digest", "parents")
_DEED_KEYS: Final = frozenset({*_DEED, "versions"})
_VERSION_KEYS: Final = frozenset(_VERSION)
_HALF: Final = r'[^"\\\x00-\x1f]*+'
#: the line of nearly every version as `version_line` writes it, when nothing in its content is escaped but the quotes
_PLAIN_VERSION: Final = re.compile(
    r'\{"id":"([0-9a-f-]{36})","row_id":"([0-9a-f-]{36})","table_name":"([a-z_]+)","doing":"([a-z_]+)","revision":"([0-9]+)",'
    rf'"content":"({_HALF}(?:\\"{_HALF})*+)","digest":"([0-9a-f]+)","parents":\[(?:"([0-9a-f",-]+)")?\]\}}'
)
#: where the name of the table begins in such a line, and how far on it must end
_TABLE_AT: Final = len('{"id":"","row_id":"","table_name":"') + 2 * 36
_TABLE_ENDS: Final = _TABLE_AT + 64
_WRONG_DIGEST: Final = "its digest does not fit what it says"
#: no clock is believed beyond: deeds are recorded after those that are known, so one such would push all that follow there
_YEARS: Final = (1970, 2199)


@dataclass(frozen=True, slots=True)
class BundleHead:
    """What stands first: who packed it, when, what that log knew of each device, and what is taken for granted (`since`)."""

    device: str
    made_at: datetime
    deeds: int
    versions: int
    knew: Reach
    since: Reach


def head_line(head: BundleHead) -> str:
    """Return the first line."""
    return _line(
        {
            _MARK: FORM,
            "revision": HEAD,
            "device": head.device,
            "made_at": _at(head.made_at),
            "deeds": head.deeds,
            "versions": head.versions,
            "knew": written_reach(head.knew),
            "since": written_reach(head.since),
        }
    )


def deed_line(deed: Deed, versions: int) -> str:
    """Return the line of a deed; so many lines of its versions follow."""
    undoes = None if deed.undoes_deed_id is None else str(deed.undoes_deed_id)
    values = (str(deed.id), _at(deed.recorded_at), deed.device, deed.said, undoes, deed.person, deed.digest)
    return _line({**dict(zip(_DEED, values, strict=True)), "versions": versions})


def version_line(version: Version) -> str:
    """Return the line of a version."""
    parents = [str(parent) for parent in version.parents]
    values = (str(version.id), str(version.row_id), version.table_name, version.doing.value, version.revision)
    return _line(dict(zip(_VERSION, (*values, version.content, version.digest, parents), strict=True)))


def read_head(line: str) -> BundleHead:
    """Read the first line. ValueError when it is none of ours, VersionError when a newer program wrote it."""
    said = read_object(line)
    form, revision = said.get(_MARK), said.get("revision")
    if type(form) is not int or type(revision) is not str:
        raise ValueError("no bundle of wearlog")
    if form > FORM or revision not in REVISIONS:
        raise VersionError(
            "This bundle was packed by a newer wearlog.", "Bring wearlog on this machine to that version."
        )
    return BundleHead(
        device=_text(said["device"]),
        made_at=_instant(said["made_at"]),
        deeds=_count(said["deeds"]),
        versions=_count(said["versions"]),
        knew=read_reach(said["knew"]),
        since=read_reach(said["since"]),
    )


def read_deed(line: str) -> tuple[Deed, int]:
    """Read the line of a deed and return how many versions follow. ValueError, KeyError or TypeError for any other line."""
    said = read_object(line, _DEED_KEYS)
    undoes = said["undoes_deed_id"]
    deed = Deed(
        id=_id(said["id"]),
        recorded_at=_instant(said["recorded_at"]),
        device=_text(said["device"]),
        said=_text(said["said"]),
        undoes_deed_id=None if undoes is None else _id(undoes),
        person=_text(said["person"]),
        digest=_text(said["digest"]),
    )
    return deed, _count(said["versions"])


def read_version(line: str, deed_id: UUID) -> ToldVersion:
    """Read the line of a version of a deed, distrusted.

    Raises
    ------
    ValueError, KeyError, TypeError
        For any other line, when its digest is wrong, or when it says what no wearlog would have written.
    """
    told = _told_straight(line)
    if told is None:
        version = _asked_version(line, deed_id)
        return ToldVersion.of(version, fact_of_strange(version))
    return told


def _told_straight(line: str) -> ToldVersion | None:
    """Return the first version of a plain row, looked at in one pass; None for any other line."""
    end = line.find('"', _TABLE_AT, _TABLE_ENDS)
    table_name = line[_TABLE_AT : max(end, _TABLE_AT)]
    pattern = _straight_line(table_name)
    found = None if pattern is None or len(line) > MOST_BYTES else pattern.fullmatch(line)
    if found is None:
        return None
    caught = found.groups()
    version_id, row_id, doing, escaped = caught[:4]
    content, digest = escaped.replace('\\"', '"'), caught[-1]
    if digest != digest_of_written(table_name, row_id, (), content, HEAD):
        raise ValueError(_WRONG_DIGEST)
    return ToldVersion(version_id, row_id, table_name, doing, HEAD, content, digest, (), caught[4:-1], None)


@lru_cache(maxsize=128)
def _straight_line(table_name: str) -> re.Pattern[str] | None:
    """Return the pattern of such a line: it catches the id, the row's, what was done, the content, its values, the digest."""
    straight = straight_table_of(table_name)
    if straight is None:
        return None
    return re.compile(
        rf'\{{"id":"({WRITTEN_ID})","row_id":"(?P<{ROW_ID}>{WRITTEN_ID})","table_name":"{table_name}",'
        rf'"doing":"({"|".join(Doing)})","revision":"{HEAD}","content":"({straight.pattern})",'
        r'"digest":"([0-9a-f]{64})","parents":\[\]\}'
    )


def _asked_version(line: str, deed_id: UUID) -> Version:
    version_id, row_id, table_name, doing, revision, content, digest, follows = _fields_of_version(line)
    parents = tuple(map(read_id, follows))
    version = Version(
        id=read_id(version_id),
        deed_id=deed_id,
        row_id=read_id(row_id),
        table_name=table_name,
        doing=Doing(doing),
        revision=revision,
        content=content,
        digest=digest,
        parents=parents,
    )
    if version.revision not in REVISIONS:
        raise VersionError(
            "An entry in this bundle is of a newer wearlog.", "Bring wearlog on this machine to that version."
        )
    if len(parents) > 1 and list(parents) != sorted(set(parents)):
        raise ValueError("what it follows is in no order")
    if digest != digest_of_written(table_name, row_id, follows, content, revision):
        raise ValueError(_WRONG_DIGEST)
    return version


def _fields_of_version(line: str) -> tuple[str, str, str, str, str, str, str, list[str]]:
    """Return the texts that stand in the line of a version, in its order."""
    found = _PLAIN_VERSION.fullmatch(line)
    if found is not None:
        version_id, row_id, table_name, doing, revision, content, digest, follows = found.groups()
        parents = follows.split('","') if follows else []
        return version_id, row_id, table_name, doing, revision, content.replace('\\"', '"'), digest, parents
    said = read_object(line, _VERSION_KEYS)
    version_id, row_id, table_name, doing, revision, content, digest, follows = (said[name] for name in _VERSION)
    # what is no id is refused where it is read
    ids = [str(_id(one)) for one in follows]
    return (
        str(_id(version_id)),
        str(_id(row_id)),
        _text(table_name),
        doing,
        _text(revision),
        _content(content),
        _text(digest),
        ids,
    )


def read_object(line: str, keys: Set[str] | None = None) -> dict[str, Any]:
    """Read one line. ValueError when it is no JSON object of these keys, holds what is no number, or is nested too deeply."""
    try:
        said = _STRICT.decode(line)
    except RecursionError as error:
        raise ValueError("nested more deeply than any entry") from error
    if not isinstance(said, dict) or (keys is not None and said.keys() != keys):
        raise ValueError("other things than belong there")
    return said


def _no_number(text: str) -> NoReturn:
    raise ValueError(f"{text} is no number")


#: made once: `json.loads` with arguments makes one for each line
_STRICT: Final = json.JSONDecoder(parse_constant=_no_number)


def _line(said: Mapping[str, Any]) -> str:
    return json.dumps(said, separators=(",", ":"), ensure_ascii=False)


def _at(instant: datetime) -> str:
    return instant.astimezone(UTC).isoformat(timespec="microseconds")


def written_reach(reach: Reach) -> dict[str, list[Any]]:
    """Return a reach as JSON holds it."""
    return {device: [count, _at(last)] for device, (count, last) in reach.items()}


def read_reach(said: Any) -> dict[str, tuple[int, datetime]]:
    """Read a reach out of JSON. ValueError, TypeError or AttributeError for anything else."""
    return {_text(device): (_count(count), _instant(last)) for device, (count, last) in said.items()}


def _id(said: Any) -> UUID:
    if type(said) is not str:
        raise ValueError("a badly formed id")
    return read_id(said)


def _instant(said: Any) -> datetime:
    found = datetime.fromisoformat(_text(said))
    if found.tzinfo is None or not _YEARS[0] <= found.year <= _YEARS[1]:
        raise ValueError("a time that no clock shows")
    return found.astimezone(UTC)


def _count(said: Any) -> int:
    if type(said) is not int or said < 0:
        raise ValueError("a count that is none")
    return said


def _content(said: Any) -> str:
    if type(said) is not str:
        raise ValueError("content that is no text")
    return said


def _text(said: Any) -> str:
    if type(said) is not str or acts_on_a_terminal(said):
        raise ValueError("a text that is none, or that holds control codes")
    return said
