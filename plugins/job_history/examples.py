"""What is typed after `fixbook job`, shown under its help and that of its sub-commands."""

from __future__ import annotations

EXAMPLES = {
    "new": ("job new --unit power-amplifier --model 'VG-220' --complaint 'left side drops out'",),
    "add": ("job add --from jobs.json", "job add --from - < jobs.json"),
    "edit": ("job edit 2041 shelf=B4 'limit=80, ask beyond'", "job edit 2041 return_of=1987"),
    "note": ("job note 2041 'relay pitted, see fault:amp-relay-contacts'",),
    "reading": (
        "job reading 2041 'contact resistance=350 mohm' --before",
        "job reading 2041 'contact resistance=20 mohm'",
    ),
    "stage": ("job stage 2041 on-test",),
    "close": (
        "job close 2041 --outcome fixed --minutes 45 --part '2x relay 24 V'",
        "job close 2041 --outcome no-fault-found",
    ),
    "list": ("job list --open", "job list --unit turntable --since 2026-01-01 --unlinked"),
    "show": ("job show 2041",),
    "ticket": ("job ticket 2041",),
    "hand-over": ("job hand-over 2041",),
    "export": ("job export jobs.csv", "job export --jsonl > jobs.jsonl"),
    "import": (
        "job import history.csv --trial",
        "job import history.csv --map 'Fixed by=nothing' --word sorted=fixed --yes",
        "job import --sql jobs.db --table repairs",
    ),
    "link": ("job link 2041 amp-relay-contacts",),
    "unlink": ("job unlink 2041 amp-relay-contacts",),
    "suggest": ("job suggest 2041", "job suggest --all --ask"),
    "rates": ("job rates", "job rates amp-relay-contacts --by model"),
    "estimate": ("job estimate amp-relay-contacts", "job estimate --unit turntable"),
    "readings": ("job readings amp-relay-contacts --model 'VG-220'",),
    "salvage": ("job salvage saved.sqlite",),
    "figures": ("job figures",),
}
FIRST = ("new", "note", "close", "import", "rates")
"""The sub-commands that stand for all under `fixbook job --help`."""


def examples(name: str = "") -> str:
    """Give the examples of a sub-command, or of the command itself; empty where there are none."""
    names = (name,) if name else FIRST
    lines = [f"  fixbook {line}" for one in names for line in EXAMPLES.get(one, ())]
    return "\n".join(["examples:", *lines, ""]) if lines else ""
