"""Numbers, lists and names of days in words, the same in faults and notes of a book and in all of a plan."""

from collections.abc import Sequence

WEEKDAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
LETTERS = 3
"""Letters of a short name of a day or month."""

SIGNS = ("g", "kg")
"""Units that are written by their signs, which have no plural."""

READ_AS = (("m2", "m\N{SUPERSCRIPT TWO}"), ("umol", "\N{MICRO SIGN}mol"))
"""Parts of units as files have them, in plain letters, and as they are read."""


def counted(number: int, noun: str) -> str:
    """Return ``1 tray`` or ``1,200 trays``."""
    return f"{number:,} {noun if number == 1 else plural(noun)}"


def plural(noun: str) -> str:
    """Return what several are called: ``rafts``, ``deliveries``, ``bunches``; ``g`` and ``kg`` stay."""
    if noun in SIGNS:
        return noun
    if noun.endswith("y") and not noun.endswith(("ay", "ey", "oy")):
        return f"{noun[:-1]}ies"
    return f"{noun}es" if noun.endswith(("ch", "sh", "s", "x")) else f"{noun}s"


def as_read(unit: str) -> str:
    """Return a unit of a file as a reader is told it: ``C`` is ``°C``, ``mol/m2/d`` is ``mol/m²/d``."""
    if unit == "C":
        return "\N{DEGREE SIGN}C"
    for written, read in READ_AS:
        unit = unit.replace(written, read)
    return unit


def listed(words: Sequence[str], last: str = "and") -> str:
    """Return words with commas between and another before the last: ``heads, trays and kg``."""
    return f"{', '.join(words[:-1])} {last} {words[-1]}" if len(words) > 1 else "".join(words)
