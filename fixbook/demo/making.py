"""All files of the demonstration book, as bytes by their path in the book."""

from __future__ import annotations

from collections.abc import Iterator
from importlib.resources import files
from importlib.resources.abc import Traversable
from random import Random

from fixbook.demo.drawings import DRAWINGS, draw
from fixbook.demo.jobs import by_year, past_jobs
from fixbook.demo.lists import year_2022, year_2023, year_2024, year_2025
from fixbook.demo.stock import stock_list
from fixbook.demo.workbook import as_csv, workbook

SEED = 20251125
HISTORY = "history"
"""The folder of the shop's old lists, beside the entries."""


def demo_files(seed: int = SEED) -> dict[str, bytes]:
    """Give every file of the book; the same seed gives the same bytes."""
    random = Random(seed)
    made = dict(_walk(files(__package__).joinpath("book"), ""))
    for name, drawing in DRAWINGS.items():
        made[f"entries/pictures/{name}.svg"] = draw(drawing)
    made["stock.csv"] = stock_list(random)
    years = by_year(past_jobs(random))
    made[f"{HISTORY}/2022.csv"] = year_2022(random, years[2022])
    made[f"{HISTORY}/2023.csv"] = year_2023(random, years[2023])
    head, rows = year_2024(random, years[2024])
    sheet = workbook("Thrupple Yard Sound, jobs of 2024", head, rows)
    if sheet is not None:
        made[f"{HISTORY}/2024.xlsx"] = sheet
    else:
        made[f"{HISTORY}/2024.csv"] = as_csv(head, rows)
    made[f"{HISTORY}/2025.tsv"] = year_2025(random, years[2025])
    return made


def _walk(folder: Traversable, path: str) -> Iterator[tuple[str, bytes]]:
    for one in sorted(folder.iterdir(), key=lambda item: item.name):
        if one.is_dir():
            yield from _walk(one, f"{path}{one.name}/")
        else:
            yield path + one.name, one.read_bytes()
