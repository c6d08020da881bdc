"""One spelling for words that British and American English write differently.

Both spellings end in the same form, which is never shown, so the form itself need not be a word.
Words whose two spellings differ in meaning at a bench stay apart: disc and disk, metre and meter,
programme and program; valve is left to the vocabulary.
"""

from __future__ import annotations

import re

_OUR = (
    "arbor|ardor|armor|behavior|candor|clamor|clangor|color|demeanor|discolor|endeavor|enamor|"
    "favor|fervor|flavor|glamor|harbor|honor|humor|labor|multicolor|neighbor|odor|parlor|rancor|"
    "rigor|rumor|savior|savor|splendor|succor|tumor|valor|vapor|vigor"
)
_ONE_L = (
    "barrel|bevel|cancel|channel|chisel|council|counsel|dial|duel|enamel|equal|fuel|funnel|gravel|"
    "grovel|gruel|initial|jewel|label|level|marshal|model|panel|parallel|pedal|pencil|quarrel|"
    "rival|shovel|shrivel|signal|spiral|stencil|swivel|total|towel|travel|trial|tunnel|unravel"
)
_RE = (
    "caliber|center|centimeter|fiber|goiter|kilometer|liter|louver|luster|meager|millimeter|miter|"
    "reconnoiter|saber|scepter|somber|specter|theater"
)

_DIFFERENCES = re.compile(
    rf"(?P<our>^(?:be|dis|mis|techni|tri|un|water)?(?:{_OUR}))"
    r"(?=s?$|ed|ing|less|ful|ist|abl|ant|al|er|hood|it|iz|ly|some|y$|ies|i)"
    rf"|(?P<ell>^(?:back|out|un)?(?:{_ONE_L}))l(?=ed$|er|ing|ist|or)"
    rf"|(?P<re>^(?:amphi|centi|epi|lack|micro|milli)?(?:{_RE}))(?=s?$|ed$|fold|glass|goer|piece)"
    r"|(?P<ize>(?<=[a-z]{2})[iy]z)(?=e$|es$|ed$|ers?$|ing|ation|abl|ance$|ement)"
    r"|(?P<og>(?:anal|catal|dial|epil|monol|prol|travel)og)(?=s?$|ed$|er$|ing$)"
    r"|(?P<ense>^(?:def|off|lic|pret)ens)(?=es?$|ed$|eless$|ing$)"
    r"|(?P<gram>^(?:centi|kilo|milli)?gram)me(?=s?$)"
)
_BEGINNINGS = {
    "aluminum": "aluminium", "sulf": "sulph", "mold": "mould", "remold": "remould",
    "smolder": "smoulder", "plow": "plough", "skeptic": "sceptic", "artifact": "artefact",
    "maneuver": "manoeuvr", "manoeuvre": "manoeuvr", "draft": "draught", "calliper": "caliper",
    "connexion": "connection", "inflexion": "inflection", "biass": "bias", "trialled": "trialed",
}  # fmt: skip
_BEGINNING = re.compile("|".join(sorted(_BEGINNINGS, key=len, reverse=True)))
_WHOLE = {
    "gray": "grey", "grays": "greys", "grayed": "greyed", "gage": "gauge", "gages": "gauges",
    "aging": "ageing", "judgment": "judgement", "acknowledgment": "acknowledgement",
    "fulfill": "fulfil", "skillful": "skilful", "cozy": "cosy", "jewelry": "jewellery",
    "practice": "practise", "practiced": "practised", "practicing": "practising",
    "practices": "practises", "centering": "centring", "centered": "centred", "gasses": "gases", "busses": "buses",
    "gluing": "glueing", "misspelled": "misspelt", "waggon": "wagon", "waggons": "wagons",
    "likable": "likeable", "woolen": "woollen",
    # Adjectives that the stemmer keeps apart from their noun or puts to another one.
    "crackly": "crackle", "rattly": "rattle", "sparkly": "sparkle", "rumbly": "rumble",
    "crinkly": "crinkle", "warbly": "warble", "buzzy": "buzz", "hissy": "hiss", "scratchy": "scratch",
    "jumpy": "jump", "hummy": "hum", "flickery": "flicker", "fluttery": "flutter",
    "jittery": "jitter", "stuttery": "stutter", "glitchy": "glitch", "squeaky": "squeak",
    "creaky": "creak", "screechy": "screech", "crunchy": "crunch", "clicky": "click",
    "noisy": "noise", "whiny": "whine", "smoky": "smoke", "smelly": "smell", "dusty": "dust",
    "rusty": "rust", "leaky": "leak", "greasy": "grease", "shaky": "shake", "wavy": "wave",
    "microphonic": "microphony", "microphonics": "microphony",
    # A misspelling that is a word with another stem.
    "resister": "resistor", "resisters": "resistors",
}  # fmt: skip


def one_spelling(word: str) -> str:
    """Give the form that every spelling of a lower-case word shares."""
    word = _WHOLE.get(word, word)
    found = _BEGINNING.match(word)
    if found:
        word = _BEGINNINGS[found.group()] + word[found.end() :]
    return _DIFFERENCES.sub(_british, word)


def _british(found: re.Match[str]) -> str:
    kind = found.lastgroup or ""
    part = found.group(kind)
    match kind:
        case "our":
            return part[:-2] + "our"
        case "re":
            return part[:-2] + "re"
        case "ize":
            return part[:-1] + "s"
        case "og":
            return part + ("u" if found.string[found.end() :] in ("ed", "er", "ing") else "ue")
        case "ense":
            return part[:-1] + "c"
    return part
