"""Made-up write-ups of realistic length and word frequency, the same for every run.

Four words in ten are everyday ones; the rest are drawn by Zipf's law, mostly from the hundred or
so that a write-up is about, so that a bench word is in some write-ups often and in most not at all.
Every write-up has values, part numbers and the facets a real one has.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import accumulate

from fixbook.core.query import Document

_EVERYDAY = (
    "the a of and to in is on with at it for not no off from by or if when then out up down and the "
    "be are as that this before after until between across through into both each one two only more "
    "less same than there where which what has have can may do does"
).split()
_BENCH = (
    "voltage current supply board resistor capacitor transistor relay switch fuse output input "
    "signal ground rail diode bridge regulator amplifier motor laser display contact solder joint "
    "screw cover heat noise hum crackle distortion channel left right volume control power mains "
    "load measure check clean replace test meter scope reading ripple leakage open short dry "
    "cracked burnt loose dirty worn stuck dead weak low high slow fast hot cold warm first second "
    "unplug discharge read write compare fit remove lift free tighten wait minutes seconds turn "
    "push pull tray belt gear sensor lamp backlight panel remote keypad knob potentiometer trimmer "
    "coil transformer winding core wire lead plug socket connector ribbon cable shield spring clip "
    "glue grease oil alcohol brush cloth tool dark disc blows pushed"
).split()
_START = "b c d f g h l m n p r s t v w br cl dr fl gr pl pr sc sk sl sp st str tr".split()
_MIDDLE = "a e i o u ai ea ee oa oo ou".split()
_END = "ck d ft g l lk m mp n nd nk p r rd rn rk s st t ct x".split()
_VALUES = ("4700 uF", "33uF", "100n", "4k7", "0R22", "24 V", "5 V", "-15V", "2.2 kohm", "50 Hz")
QUERIES = (
    "hum in the left channel",
    "will not turn on",
    "display backlight dark",
    "motor slow when cold",
    "24 V rail low",
    "crackle from volume control",
    "relay contact burnt",
    "tray stuck open",
    "fuse blows when power switch pushed",
    "laser weak reading discs",
)


def vocabulary(size: int = 20_000) -> list[str]:
    """Give bench words and made-up ones in order of frequency."""
    rng = random.Random(7)
    made: dict[str, None] = dict.fromkeys(_BENCH)
    while len(made) < size:
        parts = (rng.choice(_START) + rng.choice(_MIDDLE) + rng.choice(_END) for _ in range(2))
        made["".join(parts)] = None
        made[f"{rng.choice('ABKLMT')}{rng.choice('ADLMN')}{rng.randrange(100, 9999)}"] = None
    return list(made)


def documents(count: int, seed: int = 1) -> Iterator[Document]:
    """Give made-up write-ups."""
    rng = random.Random(seed)
    words = vocabulary()
    wide = list(accumulate(1 / (n + 30) for n in range(len(words))))
    steep = list(accumulate(1 / (n + 2.7) for n in range(len(words))))
    for number in range(count):
        length = max(80, int(rng.lognormvariate(6.2, 0.45)))
        about = rng.choices(words, cum_weights=wide, k=110)
        drawn = rng.choices(_EVERYDAY, cum_weights=steep[: len(_EVERYDAY)], k=length + 40)
        topic = rng.choices(about, cum_weights=steep[:110], k=length + 40)
        drawn = [d if rng.random() < 0.42 else t for d, t in zip(drawn, topic, strict=True)]
        drawn[45::40] = rng.choices(_VALUES, k=len(drawn[45::40]))
        yield _document(rng, number, drawn)


def _document(rng: random.Random, number: int, drawn: list[str]) -> Document:
    key, unit = f"entry-{number:06}", f"unit-{number % 20}"
    title = " ".join(drawn[:7])
    return Document(
        key,
        f"{unit}/{key}.md",
        {
            "title": title,
            "signs": "\n".join(" ".join(drawn[at : at + 5]) for at in range(7, 27, 5)),
            "lay": " ".join(drawn[27:40]),
            "body": ". ".join(" ".join(drawn[at : at + 12]) for at in range(40, len(drawn), 12)),
            "unit": unit.replace("-", " "),
        },
        {
            "unit": (unit,),
            "section": (f"section-{rng.randrange(60)}",),
            "kind": ("technique" if number % 9 == 0 else "fault",),
            "hazard": tuple(f"hazard-{n}" for n in rng.sample(range(16), 3)),
            "skill": (f"skill-{rng.randrange(4)}",),
            "state": ("written",),
            "sign": tuple(f"sign-{n}" for n in rng.sample(range(300), 8)),
            "model": tuple(f"model-{n}" for n in rng.sample(range(800), number % 3)),
        },
        {
            "id": key, "kind": "fault", "title": title, "unit": unit, "section": "supply",
            "state": "written",
        },
    )  # fmt: skip
