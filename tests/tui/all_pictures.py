"""Draws every screen and form in every theme and size, several to a sheet: python -m tests.tui.all_pictures FOLDER.

`--theme T`, `--size WxH` and `--only NAME`, each as often as wanted, draw those alone. The screens are those of
`every_screen.py`, each with all its sections, on the demo fleet on the evening on which its story ends.
"""

from __future__ import annotations

import argparse
import asyncio
import shutil
import sys
from html import escape
from pathlib import Path

from tests.tui.docs_pictures import demo_evening
from tests.tui.every_screen import WAYS, every_section
from tests.tui.pictures import draw, picture_now, size_of
from tests.tui.piloting import read_all_cautions, settled
from wearlog.tui.app import Screens
from wearlog.tui.themes import INKS

#: size of the terminal -> pictures beside each other on a sheet, and below
SIZES = {"46x20": (3, 2), "80x24": (2, 3), "120x40": (2, 2), "160x45": (1, 2)}
_TITLE = 30


async def drawn(log: Path, size: str, themes: list[str], names: list[str]) -> dict[str, list[tuple[str, str]]]:
    """Walk through the screens in one size; return theme -> name and SVG of each."""
    wide, high = map(int, size.split("x"))
    found: dict[str, list[tuple[str, str]]] = {theme: [] for theme in themes}
    screens = Screens(str(log))
    read_all_cautions(screens)
    async with screens.run_test(size=(wide, high)) as pilot:
        await settled(pilot)
        async for name in every_section(screens, pilot, names):
            for theme in themes:
                screens.theme = theme
                await settled(pilot)
                found[theme].append((name, picture_now(screens)))
    screens.gateway.close()
    return found


def sheet(folder: Path, name: str, pictures: list[tuple[str, str]], beside: int, browser: str) -> Path:
    """Write some pictures, and draw them as one."""
    cells = []
    wide = high = 0
    for number, (title, svg) in enumerate(pictures):
        file = folder / f"{name}_{number}.svg"
        file.write_text(svg, "utf-8")
        wide, high = size_of(file)
        cells.append(f"<figure><figcaption>{escape(title)}</figcaption><img src='{file.name}'></figure>")
    below = -(-len(pictures) // beside)
    style = (
        f"body{{margin:0;display:grid;grid-template-columns:repeat({beside},{wide}px);background:#999}}"
        f"figure{{margin:0}}figcaption{{font:bold 22px sans-serif;height:{_TITLE}px}}img{{width:{wide}px;display:block}}"
    )
    page = folder / f"{name}.html"
    page.write_text(f"<!doctype html><meta charset=utf-8><style>{style}</style>{''.join(cells)}", "utf-8")
    draw(page, page.with_suffix(".png"), (beside * wide, below * (high + _TITLE)), browser)
    return page.with_suffix(".png")


def main(arguments: list[str]) -> None:
    """Draw what is asked for, and name the files."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path)
    parser.add_argument("--theme", action="append", choices=list(INKS))
    parser.add_argument("--size", action="append", choices=list(SIZES))
    parser.add_argument("--only", action="append", choices=list(WAYS))
    asked = parser.parse_args(arguments)
    folder = asked.folder.resolve()
    folder.mkdir(parents=True, exist_ok=True)
    browser = shutil.which("chromium") or shutil.which("chromium-browser")
    if not browser:
        parser.error("the sheets are drawn by Chromium, which is not installed")
    with demo_evening() as demo:
        for size in asked.size or SIZES:
            copy = demo.with_name("farm.db")
            shutil.copyfile(demo, copy)
            beside, below = SIZES[size]
            found = asyncio.run(drawn(copy, size, asked.theme or list(INKS), asked.only or list(WAYS)))
            for theme, pictures in found.items():
                for first in range(0, len(pictures), beside * below):
                    number = first // (beside * below) + 1
                    few = pictures[first : first + beside * below]
                    made = sheet(folder, f"{size}_{theme}_{number:02}", few, beside, browser)
                    sys.stdout.write(f"{made}: {', '.join(name for name, _ in few)}\n")


if __name__ == "__main__":
    main(sys.argv[1:])
