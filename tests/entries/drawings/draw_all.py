"""Draw every picture of the starter book again: python draw_all.py [FOLDER].

Writes entries/pictures/*.svg, or the folder named. Running it twice gives the same bytes
(schemdraw 0.23; another version may place a line a little differently).
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import boards
import circuits_measuring
import circuits_safety
import mechanisms
import removal
import set_ups
import waves
from paper import Paper

PICTURES = Path(__file__).resolve().parents[3] / "entries" / "pictures"
LIMIT = 40_000
"""Bytes; larger drawings make a sheet slow to print."""

DRAWINGS: list[Callable[[], Paper]] = [
    boards.capacitor_positions,
    boards.cracked_joint_ring,
    boards.leak_spread,
    boards.lifted_pad_bridge,
    boards.trimmer_probe_points,
    circuits_measuring.battery_pack_groups,
    circuits_measuring.bridge_with_test_points,
    circuits_measuring.divider_test_points,
    circuits_measuring.opto_feedback_loop,
    circuits_measuring.relay_contact_points,
    circuits_safety.discharge_tool,
    circuits_safety.lamp_limiter,
    circuits_safety.scope_earth_clip,
    mechanisms.pinch_roller_capstan,
    mechanisms.ribbon_latch_positions,
    removal.can_rocking,
    removal.can_two_cuts,
    removal.two_iron_removal,
    set_ups.earth_continuity_points,
    set_ups.isolated_supply_set_up,
    waves.ripple_full_and_half,
]


def main(folder: Path) -> None:
    """Write the drawings into the folder; an oversized one is refused."""
    folder.mkdir(parents=True, exist_ok=True)
    for draw in DRAWINGS:
        paper = draw()
        text = paper.svg()
        if len(text.encode()) >= LIMIT:
            raise SystemExit(f"{paper.name}: {len(text)} bytes, the limit is {LIMIT}; simplify it")
        (folder / f"{paper.name}.svg").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else PICTURES)
