"""How long a kit takes against a long stock list, beside one without.

By hand: `python tests/speed/kit_stock.py [ROWS]`.
"""

from __future__ import annotations

import csv
import random
import sys
import tempfile
import time
from pathlib import Path

from fixbook_plugins.kit.command import gather

from fixbook.app.bench import LibraryBench
from fixbook.app.demo import demo_book
from fixbook.app.folders import Folders
from fixbook.app.library import Library
from fixbook.settings import Place

IDS = ("vg220-reservoir-glue", "vg220-relay-delay", "z88-output-rail", "p16-negative-rail")
VALUES = (1, 2.2, 4.7, 10, 22, 47, 100, 220, 470, 1000, 2200, 3300, 10_000)


def stock(file: Path, rows: int) -> None:
    """Write a stock list: two rows of five capacitors, the others resistors of many values."""
    chance = random.Random(1)
    with file.open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out)
        writer.writerow(["what", "value", "volts", "temp", "count", "place"])
        for number in range(rows):
            count = chance.randint(0, 9)
            if chance.random() < 0.4:
                volts, hot = chance.choice((16, 25, 35, 50, 63)), chance.choice((85, 105))
                what, value = "aluminium electrolytic, radial", f"{chance.choice(VALUES)} uF"
                writer.writerow([what, value, volts, hot, count, f"A{number}"])
            else:
                value = f"{chance.randint(1, 999)} ohm"
                writer.writerow(["resistor, metal film", value, "", "", count, f"B{number}"])


def main(rows: int) -> None:
    """Print the seconds of a kit of four write-ups without a list, and with one."""
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        demo_book(home / "shop")
        folders = Folders(home / "cache", home / "data", home / "settings")
        bench = LibraryBench(Library(Place(home / "shop", "--book"), folders))
        stock(home / "stock.csv", rows)
        for label, file in (("no list", None), (f"{rows:,} rows", str(home / "stock.csv"))):
            start = time.perf_counter()
            gather(bench, IDS, file)
            print(f"{label}: {time.perf_counter() - start:.2f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000)
