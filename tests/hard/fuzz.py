"""Read hostile text everywhere that text is read, and count what goes wrong.

    [FIXBOOK_TEST_SECONDS=500] python tests/hard/fuzz.py [INPUTS] [TARGET ...]
    python tests/hard/fuzz.py --guided TARGET SECONDS       (with the library atheris installed)

Each input is made from good texts and hostile ones by a chance that starts from the same number.
`raised` (anything but an error of fixbook's own), `hung` (over a second; for a reader that gives row
after row: over a second without a row) and `fat` (the process has taken over 500 MB) have to be
zero. Prints the counts as JSON, by target.
"""

from __future__ import annotations

import atexit
import json
import random
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import common

from fixbook.core.links import links_in, read_link
from fixbook.core.quantity import ANY, NUMBER, OHMS, VOLTS
from fixbook.core.query import Document, Request
from fixbook.core.reading import read, read_range, read_tolerance
from fixbook.core.schema import id_fault, read_entry
from fixbook.core.vocabulary import Unit, Vocabulary
from fixbook.core.vocabulary_schema import read_vocabulary
from fixbook.errors import FixbookError
from fixbook.render.clean import clean, clean_line
from fixbook.search import Index
from fixbook.store.archive_names import clashes, name_fault
from fixbook.store.body import sections
from fixbook.store.decoding import LARGEST, decode
from fixbook.store.document import compose, join, read_document

GOOD = [
    "id: amp-hum\nkind: fault\ntitle: Hum\nunit: test-amp\nsigns: {low-drone: always}\n",
    "targets:\n  - name: a\n    at: C1\n    reads: ohms\n    window: 0 .. 100 mohm\n",
    "parts: [{at: RL1, is: relay, value: 24 V coil, count: 1}]", "models: [A-1, B 2]",
    "units:\n  a: {name: b, contains: [c]}\n", "synonyms: [[relay, contactor]]",
    "## Step by step\n\n1. Unplug it.\n2. See [that](fault:amp-hum).\n", "| a | b |\n|---|---|\n",
    "[x](calc:esr-limit?capacitance=470uF&rated_voltage=25V)", "fault:amp-hum", "job:2041",
    "4k7", "4.7k", "0R22", "470 uF", "1.2 .. 1.6 V", "450..600", "±5 %", "-15V", "105C", "1e3",
    "hums with the volume at zero", "will not turn on", '"will not turn on" -fan', "33 µF 35V",
    "Job,Date in,Type,Complaint\n1,3/4/2026,amp,hums\n2,soon,,\"a,b\"\n", "a;b;c\n1;2;3\n",
    "number=Job", "3 April 2026", "2026-11-25", "entries/test-amp/amp-hum.md",
]  # fmt: skip
HOSTILE = [
    "\0", "\x1b[2J\x1b]0;x\x07", "\u202e\u2066\u200f", "\ufeff", "\x85\u2028\u2029\x0b\x0c\x1c",
    "\ud800", "\udcff", "\U0010ffff", "е", "ａ", "ﬁ", "ß", "İ", "e\u0301" * 40, "Z͑ͫ̓ͪ̂ͫ̽͏",
    "../" * 20, "..\\..\\", "con", "nul.md", "C:\\", "//host/share", "file:///etc/passwd",
    "javascript:alert(1)", "=cmd|' /C calc'!A0", "+1+1", "@SUM(1)", "{{7*7}}", "${7*7}", "%s%n%d",
    "a: &a [*a, *a]\n", "&x " * 50, "!!python/object/apply:os.system [ls]", "<<: *a", "? ? ? ?",
    "[" * 3000, "{" * 3000, "- " * 3000, "> " * 2000, "![" * 2000, "`" * 3000, "*_" * 2000,
    "[a](" * 1500, "<a " * 1500, "&#" * 1500, "\\" * 3000, "|" * 3000, "a" * 100_000, "9" * 5000,
    "1e999999", "-" * 5000, "1." * 3000, "0x" * 2000, "k" * 3000, "١٢٣", "½", "∞", "NaN", '"' * 3001,
    "\n" * 20_000, "\r" * 3000, "\t" * 3000, " " * 50_000, ",\n" * 10_000, ";" * 20_000, "''' \"\"\"",
    "---\n", "...\n", "<!--", "<script>", "%00", "%2e%2e%2f", "?a=b&" * 500, "#" * 3000,
]  # fmt: skip
WORDS = Vocabulary(units={"test-amp": Unit("test-amp", "test amplifier")})
Target = Callable[[str], float | None]


def make(chance: random.Random, size: int) -> str:
    """Make an input: good and hostile pieces, cut, doubled, exchanged and strewn with letters."""
    pool = GOOD if chance.random() < 0.6 else HOSTILE
    pieces = [chance.choice(pool if chance.random() < 0.7 else HOSTILE)[:size]
              for _ in range(chance.randint(1, 4))]  # fmt: skip
    text = chance.choice(("", " ", "\n", ": ", ",")).join(pieces)
    for _ in range(chance.randint(0, 4)):
        at = chance.randrange(len(text) + 1)
        end = min(len(text), at + chance.randint(0, 12))
        kind = chance.randrange(5)
        if kind == 0:
            text = text[:at] + text[end:]
        elif kind == 1:
            text = text[:at] + text[at:end] * chance.randint(2, 5) + text[end:]
        elif kind == 2:
            text = text[:at] + chr(chance.randrange(0x250)) + text[at:]
        elif kind == 3:
            text = text[:at] + chr(chance.randrange(0x110000)) + text[end:]
        else:
            text = text[:at] + chance.choice("[]{}()<>|&*!#%@`'\":,-?=\\/\n\0\t.") + text[at:]
    return text[: 4 * size]


def front_matter(text: str) -> None:
    """Read a write-up whose front matter this is."""
    document = read_document(join(text, "body"), "a.md")
    if document.front is not None:
        read_entry(document.front, document.body, WORDS, file="a.md")


def whole_file(text: str) -> None:
    """Read a write-up, from its bytes."""
    decoded, _ = decode(text.encode("utf-8", "surrogatepass"), "a.md")
    document = read_document(decoded, "a.md")
    if document.front is not None:
        read_entry(document.front, document.body, WORDS, file="a.md")


def vocabulary(text: str) -> None:
    """Read a vocabulary file."""
    front, _ = compose(text, "words.yaml")
    if front is not None:
        read_vocabulary(front, file="words.yaml")


def settings(text: str) -> None:
    """Read the settings of a book."""
    from fixbook.settings import read_shop

    FOLDER.mkdir(exist_ok=True)
    (FOLDER / "fixbook.toml").write_text(text, encoding="utf-8", errors="surrogatepass")
    read_shop(FOLDER)


def markdown(text: str) -> None:
    """Take a body apart, find its links, and lay it out for a terminal, unless it is refused."""
    from fixbook.core.sheet import TextBlock
    from fixbook.render.sheet import sheet_lines

    if read_document(join("id: a", text), "a.md").problems:
        return
    sections(text)
    list(links_in(text))
    sheet_lines([TextBlock("Body", text, markdown=True)], 80)


def values(text: str) -> None:
    """Read a value of every kind, and a range."""
    for work in (lambda: read(text, OHMS), lambda: read(text, ANY), lambda: read(text, NUMBER),
                 lambda: read_range(text, VOLTS), lambda: read_tolerance(text)):  # fmt: skip
        with suppress(FixbookError):
            work()


def queries(text: str) -> None:
    """Search a small index."""
    INDEX.search(Request(text, limit=5))


def mappings(text: str) -> None:
    """Guess what columns are, with corrections as typed."""
    from fixbook_plugins.job_history.columns import corrected, guess

    columns = text.split(",")[:20]
    guesses = guess(columns, [dict.fromkeys(columns, text[:50])])
    corrected(guesses, text.split("\n")[:5])


def dates(text: str) -> None:
    """Read a cell as a date."""
    from datetime import date

    from fixbook_plugins.job_history.dates import read_date

    with suppress(ValueError):  # it is how a date that is none is told
        read_date(text, day_first=True, today=date(2026, 11, 25))


def csv(text: str) -> float:
    """Read a file of rows; the seconds of the longest wait for one."""
    from fixbook_plugins.job_history.delimited import rows

    FILE.write_bytes(text.encode("utf-8", "surrogatepass"))
    longest, before = 0.0, time.process_time()
    for _ in rows(str(FILE), {}):
        now = time.process_time()
        longest, before = max(longest, now - before), now
    return max(longest, time.process_time() - before)


def links(text: str) -> None:
    """Read a link's target, and find it in a body."""
    read_link(text)
    list(links_in(f"[a]({text})\n"))


def names(text: str) -> None:
    """Judge an id, and names in an archive."""
    id_fault(text)
    name_fault(text)
    list(clashes(text.split("\n")[:20]))


def cleaning(text: str) -> None:
    """Clean for a terminal."""
    left = clean(text) + clean_line(text)
    if "\x1b" in left or "\x9b" in left or "\x07" in left:
        raise AssertionError("a control character is left")


TARGETS: dict[str, tuple[Target, int, int]] = {
    "links": (links, 25, 300), "names": (names, 22, 300), "values": (values, 18, 120),
    "cleaning": (cleaning, 15, 300), "front matter": (front_matter, 5, 300),
    "whole file": (whole_file, 3, 500), "vocabulary": (vocabulary, 3, 300),
    "markdown": (markdown, 2, 200), "queries": (queries, 4, 150), "mappings": (mappings, 1, 100),
    "dates": (dates, 1, 60), "csv": (csv, 1, 300), "settings": (settings, 1, 300),
}  # fmt: skip
"""Each with its share out of a hundred and one, and the longest piece of its usual inputs."""
FOLDER = Path(tempfile.mkdtemp(prefix="fixbook-fuzz-"))
atexit.register(shutil.rmtree, FOLDER, ignore_errors=True)
FILE = FOLDER / "rows.csv"
INDEX = Index(FOLDER / "index", "1")
OF_FILES = ("links", "markdown", "front matter", "vocabulary", "settings")
"""What is read from files of a book alone, of which longer ones are refused unread."""
HUGE = 1000
"""One in so many inputs has its pieces uncut, up to 100,000 letters."""


class HungError(Exception):
    """An input that took far too long was broken off."""


def ring(number: int, frame: object) -> None:
    """Break an input off."""
    raise HungError


def huge() -> dict[str, str]:
    """Give single inputs of many megabytes, or nested very deep."""
    return {
        "10 MB line": "a" * 10_000_000, "10 MB of words": "ab " * 3_300_000,
        "a million items": "- a\n" * 1_000_000, "a million commas": "," * 1_000_000,
        "a million brackets": "[" * 1_000_000, "nulls": "\0" * 1_000_000,
        "every control": "".join(map(chr, [*range(32), *range(127, 160)])) * 1000,
        "alias bomb": "a: &a [x]\n" + "".join(f"b{n}: &b{n} [*a, *a, *a]\n" for n in range(500)),
    }  # fmt: skip


def attempt(work: Target, text: str, counts: dict[str, float]) -> None:
    """Try one input, and count what goes wrong."""
    began = time.process_time()  # what others do on the machine is no fault of the input
    signal.setitimer(signal.ITIMER_PROF, 20)
    longest = None
    try:
        longest = work(text)
    except FixbookError:
        pass
    except HungError:
        pass  # counted by its time
    except Exception:  # noqa: BLE001  # that is what is looked for
        counts["raised"] += 1
        if counts["raised"] <= 3:
            print(work.__name__, ascii(text[:200]), traceback.format_exc(limit=-3), file=sys.stderr)
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
    spent = time.process_time() - began if longest is None else longest
    counts["inputs"] += 1
    counts["slowest_s"] = max(counts["slowest_s"], round(spent, 3))
    if spent > 1:
        counts["hung"] += 1
        print(
            "slow:", work.__name__, f"{spent:.1f} s", len(text), ascii(text[:120]), file=sys.stderr
        )


def main(inputs: int, wanted: list[str]) -> dict[str, dict[str, float]]:
    """Try so many inputs in all; the counts of each target, printed as it ends."""
    signal.signal(signal.SIGPROF, ring)
    documents = [Document(f"d{n}", f"d{n}.md", {"title": f"{text} {common.word(n)}", "body": text})
                 for n, text in enumerate(GOOD)]  # fmt: skip
    INDEX.update(((one.source, [one]) for one in documents), stamps={})
    shares = sum(TARGETS[one][1] for one in wanted)
    found = {}
    begins = time.monotonic()
    for number, name in enumerate(wanted):
        work, share, size = TARGETS[name]
        counts: dict[str, float] = {"inputs": 0, "raised": 0, "hung": 0, "slowest_s": 0.0, "fat": 0}
        chance = random.Random(number)
        # What is left of the time is shared out among the targets that are left.
        left = common.END - time.monotonic()
        until = time.monotonic() + left * share / sum(TARGETS[one][1] for one in wanted[number:])
        for at in range(round(inputs * share / shares)):
            if at % 100 == 0 and time.monotonic() > until:
                break
            attempt(work, make(chance, size if at % HUGE else 100_000), counts)
        if inputs >= 10_000 and name not in ("settings",):
            most = LARGEST if name in OF_FILES else 20_000_000
            for text in huge().values():
                attempt(work, text[:most], counts)
        peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
        counts |= {"peak_mb": peak, "fat": peak > 500}
        print(json.dumps({"target": name, **counts}), flush=True)
        found[name] = counts
    total = {key: sum(one[key] for one in found.values()) for key in ("inputs", "raised", "hung")}
    print(json.dumps({"target": "all", **total, "seconds": round(time.monotonic() - begins)}))
    return found


def guided(name: str, seconds: str) -> None:
    """Let atheris look for inputs that reach new code."""
    import atheris

    work, _, _ = TARGETS[name]
    main(50, [name])

    def one(data: bytes) -> None:
        text = atheris.FuzzedDataProvider(data).ConsumeUnicode(len(data))
        signal.setitimer(signal.ITIMER_PROF, 1)
        try:
            work(text)
        except FixbookError:
            pass
        finally:
            signal.setitimer(signal.ITIMER_PROF, 0)

    atheris.instrument_all()
    atheris.Setup([sys.argv[0], f"-max_total_time={seconds}", "-rss_limit_mb=500"], one)
    atheris.Fuzz()


if __name__ == "__main__":
    if sys.argv[1:2] == ["--guided"]:
        guided(*sys.argv[2:4])
    else:
        count = int(sys.argv[1]) if len(sys.argv) > 1 else 10_000
        counted = main(count, sys.argv[2:] or list(TARGETS))
        sys.exit(any(one[bad] for one in counted.values() for bad in ("raised", "hung", "fat")))
