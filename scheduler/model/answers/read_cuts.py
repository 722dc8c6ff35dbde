"""Which cuts the same plants of a plan get, one after the other, and the heads each batch gives."""

from collections import defaultdict, deque
from collections.abc import Iterable, Mapping, Sequence

from scheduler.farm.shared import part_heads
from scheduler.farm.units import WHOLE_SHARE, ceil_div
from scheduler.model.answers.portions import Chain, Portion, portions
from scheduler.model.answers.read_beds import Picked, picked_batches
from scheduler.model.answers.read_rows import NotReadBack, Piece, PlanRows
from scheduler.model.answers.read_ways import Ways, code_of
from scheduler.model.options.bed_options import BedSet
from scheduler.model.options.options import Cutting, RaftSet
from scheduler.model.variables.decisions import Decisions, RaftLot, TrayLot, cells_of
from scheduler.plan.layout.lots import lot_code


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

    def __init__(self, plants: Mapping[int, int], share: int, over: int) -> None:
        self.days = sorted(plants)
        self.taken = dict.fromkeys(self.days, 0)
        self._most = {day: ceil_div(number * share, WHOLE_SHARE) for day, number in plants.items()}
        total, before = 0, 0
        self._limit, self._own = {}, {}
        for day in self.days:
            total += plants[day]
            self._limit[day] = (total * share + over) // WHOLE_SHARE
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


_Batch = tuple[RaftLot | TrayLot, int, _Heads] | tuple[BedSet, int, Picked]
"""What is cut or picked, the number of the cut or picking, and the heads it may give."""


def _batches_cut(chosen: Decisions, ways: Ways, values: Sequence[int]) -> dict[tuple[str, int], list[_Batch]]:
    """Return (lot, cut day) -> the batches cut then, with the cut's number and the heads they may give."""
    used = set(ways.rafts)
    cut: dict[tuple[RaftLot | TrayLot, int], dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for (option, step), plants in chosen.cut_plants.items():
        if option in used and values[plants.index]:
            cut[chosen.raft_lots[option], step.number][step.day] += values[plants.index]
    for lot, cuts in chosen.tray_cuts.items():
        for (number, day), outs in cuts.items():
            cells = sum(cells_of(chosen.farm, out) * values[chosen.tray_rows[out].index] for out in outs)
            if cells:
                cut[lot, number][day] += cells
    of_day: dict[tuple[str, int], list[_Batch]] = defaultdict(list)
    for (batch, number), by_day in cut.items():
        over = part_heads(chosen.farm, batch.growing, number)
        heads = _Heads(by_day, chosen.farm.crops[batch.crop].heads_share, over)
        for day in by_day:
            of_day[lot_code(chosen.farm, *batch[:3]), day].append((batch, number, heads))
    for key, picked in picked_batches(chosen, ways.beds):
        of_day[key].append(picked)
    return of_day
