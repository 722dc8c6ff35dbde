"""Which cuts the same plants of a plan get, one after the other, and the heads each batch gives."""

from collections import defaultdict, deque
from collections.abc import Iterable, Mapping, Sequence

from scheduler.farm.units import WHOLE_SHARE, ceil_div, share_down
from scheduler.model.decisions import Decisions
from scheduler.model.options import Cutting, RaftSet
from scheduler.model.read_rows import NotReadBack, Piece, PlanRows
from scheduler.model.read_ways import Ways, code_of

Chain = tuple[tuple[int, int], ...]
"""(cut number, day) of each cut the same plants get."""

Portion = tuple[int, Chain, int]
"""Plants, their cuts, day they leave."""


def set_cuts(chosen: Decisions, rows: PlanRows, ways: Ways, values: list[int]) -> None:
    """Set the plants of every cut, and those that leave or are thrown away.

    Raises:
        NotReadBack: plants are cut on days, or left uncut in a way, that the model does not have.
    """
    inside: dict[tuple[str, str], list[tuple[Piece, int, RaftSet]]] = defaultdict(list)
    for piece, plants, option in ways.afloat:
        inside[piece.unit, piece.lot].append((piece, plants, option))
    for (unit, lot), parts in inside.items():
        leaving: dict[int, int] = defaultdict(int)
        for piece, plants, _ in parts:
            leaving[piece.leaves] += plants
        cuts: dict[int, dict[int, int]] = defaultdict(dict)
        for row in rows.cuts.get((unit, lot), ()):
            cuts[row.number][row.day] = cuts[row.number].get(row.day, 0) + row.plants
        found = portions(cuts, leaving)
        if found is None:
            raise NotReadBack(f"{lot} on {unit}: its cuts and the days it leaves do not fit together")
        for plants, chain, option in _dealt(found, parts):
            _set_chain(chosen, option, (plants, chain), values)


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


def _dealt(
    found: Iterable[Portion], parts: Iterable[tuple[Piece, int, RaftSet]]
) -> list[tuple[int, Chain, RaftSet]]:
    """Give the portions of a unit to the options of its pieces that leave on the same days."""
    room: dict[int, deque[tuple[int, RaftSet]]] = defaultdict(deque)
    for piece, plants, option in sorted(parts, key=lambda part: part[2].day):
        room[piece.leaves].append((plants, option))
    dealt = []
    for plants, chain, day in found:
        while plants:
            free, option = room[day].popleft()
            now = min(free, plants)
            dealt.append((now, chain, option))
            plants -= now
            if now < free:
                room[day].appendleft((free - now, option))
    return dealt


def _set_chain(chosen: Decisions, option: RaftSet, portion: tuple[int, Chain], values: list[int]) -> None:
    plants, chain = portion
    if not chain:
        if option not in chosen.thrown:
            raise NotReadBack(f"{code_of(chosen.farm, option)}: plants that are never cut")
        values[chosen.thrown[option].index] += plants
        return
    after: int | None = None
    for number, day in chain:
        cut = chosen.cut_plants.get((option, Cutting(number=number, day=day, after=after)))
        if cut is None:
            when = chosen.farm.date_of(day)
            raise NotReadBack(
                f"{code_of(chosen.farm, option)}: cut {number} on {when} is none that is planned"
            )
        values[cut.index] += plants
        after = day
    if chosen.farm.crops[option.crop].cuts > 1:
        values[chosen.leaving[option][chain[-1][1]][0].index] += plants


class _Heads:
    """Heads one batch may give at one cut number: within its losses, day by day."""

    def __init__(self, plants: Mapping[int, int], share: int) -> None:
        self.days = sorted(plants)
        self.taken = dict.fromkeys(self.days, 0)
        self._most = {day: ceil_div(number * share, WHOLE_SHARE) for day, number in plants.items()}
        total, before = 0, 0
        self._limit, self._own = {}, {}
        for day in self.days:
            total += plants[day]
            self._limit[day] = share_down(total, share)
            self._own[day], before = self._limit[day] - before, self._limit[day]

    def take(self, day: int, wanted: int, *, own: bool) -> int:
        """Take heads of a day; only what its own plants add, or also what earlier days left over."""
        so_far = sum(heads for when, heads in self.taken.items() if when <= day)
        free = min(self._limit[day] - so_far, self._most[day] - self.taken[day])
        if own:
            free = min(free, self._own[day] - self.taken[day])
        now = max(0, min(free, wanted))
        self.taken[day] += now
        return now


def set_heads(
    chosen: Decisions, wanted: Mapping[tuple[str, int], int], ways: Ways, values: list[int]
) -> None:
    """Take the heads of every lot and cut day that deliveries get from the batches cut on it.

    ``wanted`` is (lot, cut day) -> heads.

    Raises:
        NotReadBack: the batches do not give as many.
    """
    of_day = _batches_cut(chosen, ways, values)
    for (lot, day), number_wanted in sorted(wanted.items(), key=lambda item: (item[0][1], item[0][0])):
        left = number_wanted
        here = sorted(of_day[lot, day], key=lambda each: each[2].days[-1])
        for own in (True, False):
            for _, _, heads in here:
                left -= heads.take(day, left, own=own)
        if left:
            raise NotReadBack(f"{lot}: {number_wanted} heads on {chosen.farm.date_of(day)} are too many")
    for (_, day), batches in of_day.items():
        for option, number, heads in batches:
            values[chosen.heads[option, number, day].index] = heads.taken[day]


def _batches_cut(
    chosen: Decisions, ways: Ways, values: Sequence[int]
) -> dict[tuple[str, int], list[tuple[RaftSet, int, _Heads]]]:
    """Return (lot, cut day) -> the batches cut then, with the cut's number and the heads they may give."""
    used = set(ways.rafts)
    cut: dict[tuple[RaftSet, int], dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for (option, step), plants in chosen.cut_plants.items():
        if option in used and values[plants.index]:
            cut[option, step.number][step.day] += values[plants.index]
    of_day: dict[tuple[str, int], list[tuple[RaftSet, int, _Heads]]] = defaultdict(list)
    for (option, number), by_day in cut.items():
        heads = _Heads(by_day, chosen.farm.crops[option.crop].heads_share)
        for day in by_day:
            of_day[code_of(chosen.farm, option), day].append((option, number, heads))
    return of_day
