"""What could say who a customer is or how to reach one: found, and kept out of the jobs."""

from __future__ import annotations

import re
from collections.abc import Sequence

from .cells import folded

PRIVATE = "left out: it looks like customers' names or numbers"
"""Why a column goes nowhere."""

_WORDS = frozenset(
    """
    customer customers client clients owner owners contact phone phones telephone tel mobile cell
    cellphone fax email emails mail mails address addr street city town zip zipcode postcode postal
    surname forename firstname lastname fullname company account birthday dob kunde kunden telefon
    handy adresse strasse straße plz vorname nachname nom prenom prénom téléphone cliente
    clientes telefono teléfono direccion dirección indirizzo klant adres achternaam voornaam
    """.split()
)
_NAMES = frozenset(
    ("name", "names", "first name", "last name", "full name", "post code", "e mail", "cust",
     "cust name", "cust no", "cust id", "customer name", "whatsapp", "invoice to", "bill to",
     "ship to", "deliver to", "person")
)  # fmt: skip
_MAIL = re.compile(r"[\w.+%-]{1,64}@[\w-]+(?:\.[\w-]+)+")
_PHONE = re.compile(r"(?:\+|00)?\(?\d[\d ()./-]{6,20}\d")
_TITLE = re.compile(r"(?:mr|mrs|ms|miss|dr|herr|frau|mme|sr|sra)\b\.? *[^\W\d_]{2,}", re.IGNORECASE)
_CALLED = re.compile(
    r"(?:\+\d{1,3}[ (./-]?|\b(?:tel|phone|mobile|cell|ph|call)\b\.?:? *(?:no\.?|on|back|at)? *\+?)"
    r"\(?\d[\d ()./-]{5,18}\d",
    re.IGNORECASE,
)
_DIGIT = re.compile(r"\d")
_REMOVED = "[left out]"


def looks_private(column: str) -> bool:
    """Say whether a column's name is one for customers' names, numbers or addresses."""
    words = folded(column)
    return words in _NAMES or bool(_WORDS & set(words.split()))


def holds_contacts(values: Sequence[str]) -> bool:
    """Say whether the texts of a column are for the most part ways to reach people, or names."""
    filled = [value.strip() for value in values if value.strip()]
    if not filled:
        return False
    mails = sum(1 for value in filled if _MAIL.fullmatch(value))
    phones = sum(1 for value in filled if _is_phone(value))
    titles = sum(1 for value in filled if _TITLE.fullmatch(value) or _TITLE.match(value + " "))
    return 2 * mails >= len(filled) or 2 * phones >= len(filled) or 2 * titles >= len(filled)


def without_contacts(text: str) -> tuple[str, int]:
    """Give a text without the mail addresses and telephone numbers in it, and how many there were.

    A telephone number is one with a country's code, or after a word such as `tel`: other rows of
    digits are part numbers more often than not.
    """
    found = 0
    if "@" in text:
        text, mails = _MAIL.subn(_REMOVED, text)
        found += mails
    if _DIGIT.search(text):
        text, phones = _CALLED.subn(_REMOVED, text)
        found += phones
    return text, found


def _is_phone(value: str) -> bool:
    digits = sum(letter.isdigit() for letter in value)
    return 7 <= digits <= 15 and _PHONE.fullmatch(value) is not None
