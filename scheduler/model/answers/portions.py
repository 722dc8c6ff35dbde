"""Which cuts the same plants of a plan get, one after the other."""

from collections import deque
from collections.abc import Mapping, Sequence

Chain = tuple[tuple[int, int], ...]
"""(cut number, day) of each cut the same plants get."""

Portion = tuple[int, Chain, int]
"""Plants, their cuts, day they leave."""


def portions(cuts: Mapping[int, Mapping[int, int]], leaving: Mapping[int, int]) -> list[Portion] | None:
    """Follow plants from cut to cut: what was cut first is cut again first.

    Args:
        cuts: cut number -> day -> plants.
        leaving: day -> plants that leave after it.

    Returns:
        The portions, or None when cuts and days of leaving do not fit together.
    """
    rest = {day: plants for day, plants in leaving.items() if plants}
    numbers = sorted(number for number in cuts if any(cuts[number].values()))
    ending: dict[int, dict[int, int]] = {}
    for position in range(len(numbers) - 1, -1, -1):
        here = cuts[numbers[position]]
        onward = sum(cuts[numbers[position + 1]].values()) if position + 1 < len(numbers) else 0
        before = {day for number in numbers[:position] for day in cuts[number]}
        exits = _exits(here, rest, sum(here.values()) - onward, before)
        if exits is None:
            return None
        ending[numbers[position]] = exits
    uncut = [(plants, (), day) for day, plants in sorted(rest.items()) if plants]
    made = _chained(cuts, numbers, ending)
    return None if made is None else [*made, *uncut]


def _exits(
    here: Mapping[int, int], rest: dict[int, int], wanted: int, before: set[int]
) -> dict[int, int] | None:
    """Take ``wanted`` plants off those that leave, on days of one cut; days of earlier cuts come last."""
    exits: dict[int, int] = {}
    for day in sorted(here, key=lambda day: (day in before, -day)):
        now = min(here[day], rest.get(day, 0), wanted)
        if now > 0:
            exits[day] = now
            rest[day] -= now
            wanted -= now
    return exits if wanted == 0 else None


def _chained(
    cuts: Mapping[int, Mapping[int, int]], numbers: Sequence[int], ending: Mapping[int, Mapping[int, int]]
) -> list[Portion] | None:
    standing: deque[tuple[int, Chain]] = deque()
    made: list[Portion] = []
    for position, number in enumerate(numbers):
        reached: list[tuple[int, Chain]] = []
        for day, plants in sorted(cuts[number].items()):
            here = (number, day)
            if position == 0:
                reached.append((plants, (here,)))
                continue
            taken = take(standing, plants)
            if sum(each for each, _ in taken) < plants:
                return None
            reached += [(each, (*chain, here)) for each, chain in taken]
        standing = deque()
        exits = dict(ending[number])
        for plants, chain in reached:
            day = chain[-1][1]
            out = min(plants, exits.get(day, 0))
            if out:
                made.append((out, chain, day))
                exits[day] -= out
            if out < plants:
                standing.append((plants - out, chain))
    return made


def take(standing: deque[tuple[int, Chain]], wanted: int) -> list[tuple[int, Chain]]:
    """Take plants from the front of a queue."""
    taken = []
    while wanted > 0 and standing:
        plants, chain = standing.popleft()
        now = min(plants, wanted)
        taken.append((now, chain))
        if now < plants:
            standing.appendleft((plants - now, chain))
        wanted -= now
    return taken
