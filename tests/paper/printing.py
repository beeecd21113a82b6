"""Pages printed as a person prints them: a real browser without a window, its console, what it asked for, and the pages it made."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from dataclasses import dataclass
from pathlib import Path

import pypdfium2
import pytest

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser")
needs_chromium = pytest.mark.skipif(CHROMIUM is None, reason="no chromium on this machine, so no page is printed")
#: width and height in points
SIZES = {"A4": (595, 842), "Letter": (612, 792)}


@dataclass(frozen=True)
class Printing:
    """What came of it: the text of each page, how far right it reaches (points), console messages, addresses asked for."""

    size: tuple[float, float]
    pages: list[str]
    reaches: list[float]
    console: list[str]
    asked: set[str]


def print_page(html: Path, size: str, folder: Path) -> Printing:
    """Print a page on A4 or Letter."""
    page, pdf, net = folder / f"{size}.html", folder / f"{size}.pdf", folder / f"{size}.net.json"
    page.write_text(f"{html.read_text('utf-8')}<style>@page {{ size: {size}; }}</style>", "utf-8")
    done = subprocess.run(
        [
            *(CHROMIUM, "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-background-networking"),
            *(f"--user-data-dir={folder / 'profile'}", "--enable-logging=stderr", f"--log-net-log={net}"),
            *("--no-pdf-header-footer", f"--print-to-pdf={pdf}", page.as_uri()),
        ],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert pdf.exists(), done.stderr[-2000:]
    console = re.findall(r":CONSOLE:\d+\] (.*)", done.stderr)
    return Printing(*_read(pdf), console, _asked(net))


def _asked(net: Path) -> set[str]:
    """Addresses that a page asked for; what the browser asks for by itself is no page's doing."""
    events = json.loads(net.read_text("utf-8"))["events"]
    found = set()
    for event in events:
        params = event.get("params", {})
        url, initiator = params.get("url", ""), params.get("initiator", "")
        if url.startswith(("http:", "https:", "ws:", "ftp:")) and initiator not in ("not an origin", ""):
            found.add(url)
    return found


def _read(pdf: Path) -> tuple[tuple[float, float], list[str], list[float]]:
    document = pypdfium2.PdfDocument(pdf)
    pages, reaches = [], []
    try:
        size = document[0].get_size()
        for page in document:
            text = page.get_textpage()
            pages.append(re.sub(r"\s+", " ", text.get_text_bounded()))
            reaches.append(max((text.get_rect(at)[2] for at in range(text.count_rects())), default=0.0))
            text.close()
            page.close()
    finally:
        document.close()
    return size, pages, reaches


def tables(html: str) -> list[list[list[str]]]:
    """The tables of a page: rows of cells as text, the total last."""
    found = []
    for table in re.findall(r"<table[^>]*>(.*?)</table>", html, re.DOTALL):
        rows = re.findall(r"<tr[^>]*>(.*?)</tr>", table, re.DOTALL)
        found.append(
            [[plain(cell) for cell in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)] for row in rows]
        )
    return found


def plain(markup: str) -> str:
    """Words without their tags."""
    from html import unescape

    return re.sub(r"\s+", " ", unescape(re.sub(r"<[^>]*>", " ", markup))).strip()


def pages_with(printing: Printing, words: list[str]) -> set[int]:
    """The pages, from 0, on which all these words stand."""
    return {at for at, page in enumerate(printing.pages) if all(_tight(one) in _tight(page) for one in words)}


def body_of(page: str) -> str:
    """The words of a page without what stands around it: that comes first or last, and ends with the number of the page."""
    return max(re.split(r"page \d+ of \d+", page), key=len).strip()


def _tight(text: str) -> str:
    """Without spaces and hyphens: a cell may have been broken into lines."""
    return re.sub(r"[\s\u00ad\u0002-]+", "", text)
