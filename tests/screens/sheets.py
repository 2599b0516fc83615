"""Contact sheets: many pictures on a page, for a first look before each is looked at alone."""

from __future__ import annotations

from itertools import groupby
from math import ceil, sqrt
from pathlib import Path
from typing import Final

from PIL import Image, ImageDraw

PAGE_PX: Final = 1960
GAP_PX: Final = 8
NAME_PX: Final = 20
AROUND: Final = "#808080"
FOLDER: Final = "sheets"


def lay_out(folder: Path, count: int) -> list[Path]:
    """Write pages of ``count`` pictures, those of one size together, into ``folder/sheets``.

    Raises ValueError when ``count`` is below 1.
    """
    if count < 1:
        raise ValueError(f"a page holds at least one picture, not {count}")
    out = folder / FOLDER
    out.mkdir(exist_ok=True)
    pages: list[Path] = []
    pictures = sorted(folder.glob("*.png"), key=lambda path: (_size(path), path.name))
    for size, alike in groupby(pictures, key=_size):
        for number, some in enumerate(_pages(list(alike), count), 1):
            path = out / f"{size[0]}x{size[1]}_{number:02d}.png"
            _page(some, count, size).save(path)
            pages.append(path)
    return pages


def _pages(pictures: list[Path], count: int) -> list[tuple[Path, ...]]:
    return [tuple(pictures[k : k + count]) for k in range(0, len(pictures), count)]


def _size(path: Path) -> tuple[int, int]:
    with Image.open(path) as picture:
        return picture.size


def _page(pictures: tuple[Path, ...], count: int, size: tuple[int, int]) -> Image.Image:
    columns = max(1, ceil(sqrt(count * size[1] / size[0])))
    wide = (PAGE_PX - GAP_PX) // columns - GAP_PX
    high = wide * size[1] // size[0]
    rows = ceil(len(pictures) / columns)
    page = Image.new("RGB", (PAGE_PX, rows * (high + NAME_PX + GAP_PX) + GAP_PX), AROUND)
    pen = ImageDraw.Draw(page)
    for k, path in enumerate(pictures):
        x = GAP_PX + k % columns * (wide + GAP_PX)
        y = GAP_PX + k // columns * (high + NAME_PX + GAP_PX)
        pen.text((x, y), path.stem, fill="white")
        with Image.open(path) as picture:
            small = picture.convert("RGB").resize((wide, high), Image.Resampling.LANCZOS)
            page.paste(small, (x, y + NAME_PX))
    return page
