"""Which tasks of a plan may be meant by a name that none of them has."""

from collections.abc import Iterable
from datetime import date

from scheduler.book.names import meant, meant_of_several

MOST_ALIKE = 3
"""Tasks that are offered at most for a misspelt one."""

MOST_SLIPS = 2
"""Digits of a lot's code that may be wrong."""

FEWEST_DIGITS = 6
"""Digits of a code that is a date; shorter ones differ too little."""

LIKE_DIGITS = str.maketrans("oil", "011")
"""Letters that are read as digits."""


def task_meant(key: str, known: Iterable[str]) -> str:
    """Return what to say after ``expected`` of a task: that of its lot or order, else a near one.

    Of many that differ in their day, such as deliveries of an order, those nearest to the day are offered;
    of lots of a crop, those whose code differs in the fewest digits.
    """
    every = list(known)
    work, name, day = (*key.casefold().split(), "", "", "")[:3]
    words = [(each, each.casefold().split()) for each in every]
    own = [each for each, (_, *rest) in words if name and rest[:1] == [name]]
    alike = sorted(
        (each for each in own if each.casefold().split()[0] == work), key=lambda each: _off(each, day)
    )
    if alike:
        return meant_of_several(alike[:MOST_ALIKE])
    code, _, digits = name.partition("-")
    kin = [each for each, (_, *rest) in words if code and rest and rest[0].partition("-")[0] == code]
    same = [each for each in kin if each.casefold().split()[0] == work]
    slips = {each: _slips(digits, each.casefold().split()[1].partition("-")[2]) for each in same}
    fewest = min(slips.values(), default=MOST_SLIPS + 1)
    if not own and fewest <= MOST_SLIPS:
        return meant_of_several([each for each in same if slips[each] == fewest][:MOST_ALIKE])
    of_work = [each for each, (does, *_) in words if does == work]
    return meant(key, own or kin or of_work or every, most=MOST_ALIKE)


def _slips(typed: str, known: str) -> int:
    """Return in how many places a number that was typed is off another; two digits changed over are one."""
    typed = typed.translate(LIKE_DIGITS)
    if len(typed) != len(known) or len(known) < FEWEST_DIGITS:
        return MOST_SLIPS + 1
    off = [at for at in range(len(known)) if typed[at] != known[at]]
    changed_over = (
        len(off) == 2
        and off[1] == off[0] + 1
        and {*typed[off[0] : off[1] + 1]} == {*known[off[0] : off[1] + 1]}
    )
    return 1 if changed_over else len(off)


def _off(key: str, day: str) -> int:
    """Return how many days the last word of a task is off a day, 0 where one of them is no day."""
    try:
        return abs((date.fromisoformat(key.split()[-1]) - date.fromisoformat(day)).days)
    except ValueError:
        return 0
