"""Bundles as somebody with bad intentions, or a bad stick, would make them: lines taken out, altered and sealed again."""

from __future__ import annotations

import gzip
import hashlib
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any
from uuid import UUID

from wearlog.exchange.bundle_lines import read_deed
from wearlog.store.content import digest_of, digest_of_deed

Lines = list[dict[str, Any]]


def lines_of(file: Path) -> Lines:
    """Return the lines of a bundle as objects, without the last one."""
    return [json.loads(line) for line in gzip.decompress(file.read_bytes()).decode().splitlines()][:-1]


def sealed(file: Path, lines: Lines, *, as_text: Callable[[str], str] = str) -> None:
    """Write lines as a bundle whose last line fits; `as_text` may spoil what JSON would not write."""
    text = as_text("".join(json.dumps(line, separators=(",", ":"), ensure_ascii=False) + "\n" for line in lines))
    end = json.dumps({"sha256": hashlib.sha256(text.encode()).hexdigest()})
    file.write_bytes(gzip.compress(f"{text}{end}\n".encode()))


def with_content(lines: Lines, change: Callable[[dict[str, Any]], object], table: str) -> Lines:
    """Change what the first version of a table says, with digests of version and deed that fit."""
    deed: dict[str, Any] = {}
    for line in lines:
        if "said" in line:
            deed = line
        if line.get("table_name") == table:
            content = json.loads(line["content"])
            changed = change(content)
            text = (
                changed
                if isinstance(changed, str)
                else json.dumps(content, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
            )
            return with_version(lines, deed, line, content=text)
    raise AssertionError(f"no version of {table}")


def with_version(lines: Lines, deed: dict[str, Any], version: dict[str, Any], **changed: Any) -> Lines:
    """Change a version, with digests of it and of its deed that fit."""
    version.update(changed)
    parents = [UUID(one) for one in version["parents"]]
    version["digest"] = digest_of(
        version["table_name"], UUID(version["row_id"]), parents, version["content"], version["revision"]
    )
    return reseal_deed(lines, deed)


def reseal_deed(lines: Lines, deed: dict[str, Any]) -> Lines:
    """Give a deed the digest that fits it and its versions."""
    first = lines.index(deed) + 1
    digests = [line["digest"] for line in lines[first : first + deed["versions"]]]
    deed["digest"] = digest_of_deed(read_deed(json.dumps(deed))[0], digests)
    return lines
