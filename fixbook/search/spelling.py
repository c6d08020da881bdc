"""One spelling for words that British and American English write differently.

Both spellings end in the same form, which is never shown, so the form itself need not be a word.
Words whose two spellings differ in meaning at a bench stay apart: disc and disk, metre and meter,
programme and program; valve is left to the vocabulary.
"""

from __future__ import annotations

import re

_OUR = (
    "arbor|ardor|armor|behavior|candor|clamor|color|demeanor|discolor|endeavor|favor|fervor|"
    "flavor|glamor|harbor|honor|humor|labor|multicolor|neighbor|odor|parlor|rancor|rigor|rumor|"
    "savior|splendor|tumor|valor|vapor|vigor"
)
_ONE_L = (
    "barrel|bevel|cancel|channel|chisel|counsel|dial|enamel|equal|fuel|funnel|gravel|grovel|"
    "initial|jewel|label|level|marshal|model|panel|parallel|pedal|pencil|quarrel|rival|shovel|"
    "shrivel|signal|spiral|stencil|swivel|total|towel|travel|tunnel|unravel"
)
_RE = "caliber|center|fiber|goiter|liter|luster|maneuver|meager|miter|saber|somber|specter|theater"

_ENDINGS = re.compile(
    rf"(?P<our>^(?:{_OUR}))(?=s$|ed|ing|less|ful|ist|able|$)"
    rf"|(?P<ell>^(?:{_ONE_L}))l(?=ed$|ing|er|or)"
    rf"|(?P<re>^(?:milli|micro|centi)?(?:{_RE}))(?=s$|$)"
    r"|(?P<ize>(?<=[a-z]{2})[iy]z)(?=e$|es$|ed$|er$|ers$|ing$|ation|able$)"
    r"|(?P<og>(?:anal|catal|dial|monol|prol)og)(?=s$|$)"
    r"|(?P<ense>^(?:def|off|lic|pret)ense)(?=s$|d$|$)"
)
_WHOLE = {
    "aluminum": "aluminium", "sulfur": "sulphur", "sulfuric": "sulphuric",
    "sulfate": "sulphate", "sulfide": "sulphide", "gray": "grey", "grays": "greys",
    "grayed": "greyed", "mold": "mould", "molded": "moulded", "molding": "moulding",
    "moldy": "mouldy", "plow": "plough", "skeptical": "sceptical", "gage": "gauge",
    "artifact": "artefact", "artifacts": "artefacts", "aging": "ageing", "mustache": "moustache",
    "judgment": "judgement", "acknowledgment": "acknowledgement", "fulfill": "fulfil",
    "skillful": "skilful", "smolder": "smoulder", "smoldering": "smouldering",
    "pajamas": "pyjamas", "cozy": "cosy", "draft": "draught", "drafts": "draughts",
    "drafty": "draughty", "jewelry": "jewellery",
    "practice": "practise", "practiced": "practised", "practicing": "practising",
    "center": "centre", "centering": "centring", "centered": "centred", "fibers": "fibres",
}  # fmt: skip


def one_spelling(word: str) -> str:
    """Give the form that every spelling of a lower-case word shares."""
    whole = _WHOLE.get(word)
    if whole is not None:
        return whole
    found = _ENDINGS.search(word)
    if not found:
        return word
    kind, rest = found.lastgroup, word[found.end() :]
    stem = word[: found.start()] + found.group(kind or 0)
    match kind:
        case "our":
            return stem[:-2] + "our" + rest
        case "re":
            return stem[:-2] + "re" + rest
        case "ize":
            return stem[:-1] + "s" + rest
        case "og":
            return stem + "ue" + rest
        case "ense":
            return stem[:-2] + "ce" + rest
    return stem + rest
