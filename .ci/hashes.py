"""Hold what pip installed against the hashes that are kept.

    python .ci/hashes.py REPORT ...          a file with another hash than the one kept is a fault
    python .ci/hashes.py --keep REPORT ...   keep the hashes of these reports

A report is what `pip install --report FILE` writes. A file that is not in the list, since it is
newer or for another system, is named and is no fault: the bounds in pyproject.toml decide what may
be installed, and this list says that a known file is still the file it was.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path, PurePosixPath
from urllib.parse import unquote, urlsplit

LIST = Path(__file__).with_name("hashes.txt")


def installed(reports: list[str]) -> dict[str, str]:
    """Give the SHA-256 of each file by its name; what came from a folder has none."""
    found = {}
    for report in reports:
        for one in json.loads(Path(report).read_text(encoding="utf-8"))["install"]:
            hashes = one["download_info"].get("archive_info", {}).get("hashes", {})
            if "sha256" in hashes:
                name = PurePosixPath(unquote(urlsplit(one["download_info"]["url"]).path)).name
                found[name] = hashes["sha256"]
    return found


def main(words: list[str]) -> int:
    """Compare, or keep."""
    keep = "--keep" in words
    found = installed([word for word in words if word != "--keep"])
    if keep:
        lines = [f"{sha256}  {name}\n" for name, sha256 in sorted(found.items())]
        LIST.write_text("".join(lines), encoding="utf-8")
        return 0
    lines = LIST.read_text(encoding="utf-8").splitlines()
    kept = {name: sha256 for sha256, _, name in (line.partition("  ") for line in lines)}
    other = [name for name, sha256 in found.items() if kept.get(name, sha256) != sha256]
    new = [name for name in found if name not in kept]
    print(f"{len(found) - len(new) - len(other)} of {len(found)} files are as they were known")
    for name in new:
        print(f"not known yet: {name}")
    for name in other:
        print(f"ANOTHER FILE under a known name: {name}; find out why before anything is run")
    return 1 if other else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
