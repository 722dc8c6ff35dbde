"""Names that were meant: the nearest known one for a misspelt one."""

import difflib
from collections.abc import Iterable
from itertools import takewhile


def plain(name: str) -> str:
    """Return a name without case, with every run of spaces, hyphens and underscores as one underscore."""
    return "_".join(name.casefold().replace("-", " ").replace("_", " ").split())


def nearest(name: str, known: Iterable[str]) -> str | None:
    """Return the known name that was most likely meant, or None when none is near."""
    by_plain: dict[str, str] = {}
    for option in known:
        by_plain.setdefault(plain(option), option)
    wanted = plain(name)
    if wanted in by_plain:
        return by_plain[wanted]
    hits = difflib.get_close_matches(wanted[:200], list(by_plain), n=1, cutoff=0.6)
    return by_plain[hits[0]] if hits else None


def of_first_word(name: str, known: Iterable[str]) -> str | None:
    """Return the one known name that begins with the same word, or None when there is none, or several."""
    first = plain(name).split("_")[0]
    same = [option for option in known if first and plain(option).split("_")[0] == first]
    return same[0] if len(same) == 1 else None


def meant_of_several(names: Iterable[str]) -> str:
    """Return what to say after ``expected`` when some names are near; empty when none is."""
    listed = " or ".join(f"'{name}'" for name in names)
    return f"{listed}?" if listed else ""


def lot_meant(lot: str, known: Iterable[str], *, most: int = 8) -> str:
    """Return what to say after ``expected`` of a lot: the nearest of the same letters, or those there are.

    One of another crop is never offered for it, unless only the letters are wrong.
    """
    options = list(dict.fromkeys(known))
    letters = _letters(lot)
    kin = [option for option in options if letters and _letters(option) == letters]
    rest = plain(lot)[len(letters) :].strip("_")
    same = [each for each in options if rest and plain(each)[len(_letters(each)) :].strip("_") == rest]
    return meant(lot, kin or same, most=most) if kin or same else meant("", options, most=most)


def _letters(lot: str) -> str:
    """Return the letters a lot code begins with."""
    return "".join(takewhile(str.isalpha, plain(lot)))


def meant(name: str, known: Iterable[str], *, most: int = 8) -> str:
    """Return what to say after ``expected``: the nearest name, or the names there are."""
    options = list(dict.fromkeys(known))
    near = nearest(name, options)
    if near is not None:
        return f"'{near}'?"
    if not options:
        return "none, for there are none yet"
    listed = ", ".join(f"'{option}'" for option in options[:most])
    return f"one of {listed}" + (f" and {len(options) - most} more" if len(options) > most else "")
