"""Numbers in words, for every text of a plan."""


def counted(number: int, noun: str) -> str:
    """Return ``1 tray`` or ``1,200 trays``."""
    return f"{number:,} {noun}{'' if number == 1 else 's'}"


def worth_listing(number: int, limit: int) -> int:
    """Return how many of ``number`` things are listed before the rest is counted.

    Never is only one left over: its line is as short as the one that would count it.
    """
    return number if number <= limit + 1 else limit
