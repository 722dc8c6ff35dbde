"""A first plan of the beds without a search: as a careful grower plants them on paper.

By date, each delivery takes what stands in beds already gives; for what is missing as many plants are set in
as give it on the picking day before, in positions that are free for all their weeks.
"""

from collections import defaultdict
from dataclasses import dataclass, field

from scheduler.farm.growth.picking import Pick
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div, needed_for
from scheduler.model.again.change import Change
from scheduler.model.again.parties import Party
from scheduler.model.again.placed import placed
from scheduler.model.first.sharing import in_order
from scheduler.model.options.bed_options import BedSet
from scheduler.model.options.frame import Wish
from scheduler.model.options.options import TrayOut
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.model.variables.decisions import Decisions
from scheduler.plan.layout.lots import lot_code

MOST_WAYS = 4
"""Plantings looked at for one delivery."""

NOTHING = Change(terms=(), added=0, apart=())
"""There is no plan before that anything could differ from."""


def plant_by_hand(engine: Engine, best: Incumbent) -> None:
    """Take the plan on paper where it is better than what there is; lots that break a limit fall out."""
    chosen = best.built.chosen
    if not chosen.options.bed_sets:
        return
    parties = _OnPaper(chosen).parties()
    try:
        found = placed(engine, (best.built, best.parts, NOTHING), parties) if parties else None
    except Stopped:
        return
    if found is not None and best.parts.holds(found.values):
        best.take(found.values)


@dataclass(slots=True)
class _Lot:
    """Cells of a lot that leave each tray option, and plants of it set in."""

    cells: dict[TrayOut, int] = field(default_factory=lambda: defaultdict(int))
    planted: dict[BedSet, int] = field(default_factory=lambda: defaultdict(int))


class _OnPaper:
    """One planning: what is taken of each pool, and what can be picked and is not asked for yet."""

    def __init__(self, chosen: Decisions) -> None:
        self._chosen, self._farm = chosen, chosen.farm
        self._pools = {pool.name: pool for pool in chosen.bed_pools}
        self._taken: dict[str, list[tuple[int, int, int]]] = defaultdict(list)
        self._spare: dict[str, dict[int, int]] = defaultdict(lambda: defaultdict(int))
        self._lots: dict[tuple[str, int, int], _Lot] = defaultdict(_Lot)
        self._ways: dict[tuple[str, int], list[tuple[BedSet, Pick]]] = defaultdict(list)
        for option in chosen.bed_plants:
            if option.source is not None and option.source.growing < 0:
                for pick in option.picks:
                    self._ways[option.crop, pick.day].append((option, pick))

    def parties(self) -> list[Party]:
        """Return the lots that are set in, for all wishes in order of their dates."""
        self._kept()
        self._seedlings()
        for _, wish in in_order(self._chosen):
            made_of = self._farm.products[wish.product]
            missing = wish.amount
            for crop, per_unit in made_of.sources.items():
                known = self._farm.crops[crop]
                if known.picking is not None and missing and not made_of.parts:
                    got = self._serve(wish, crop, ceil_div(missing * per_unit, MILLI))
                    missing -= min(missing, got * MILLI // per_unit)
        return [self._party(key, lot) for key, lot in self._lots.items()]

    def _kept(self) -> None:
        """What stands in beds stays: its positions are taken, and it is picked."""
        start = self._chosen.frame.start
        for option in self._chosen.bed_kept:
            for name, number in option.positions:
                cleared = start + self._pools[name].clean_days
                free = max(option.free, cleared) if option.picks else cleared
                self._taken[name].append((start, free, number))
            self._ripen(option, self._farm.growing[option.growing].plants)

    def _seedlings(self) -> None:
        """What stands in trays goes into the first bed that takes it."""
        done = set[int]()
        for option in sorted(self._chosen.bed_plants, key=lambda each: each.day):
            source = option.source
            if source is not None and source.growing >= 0 and source.growing not in done:
                plants = min(self._farm.growing[source.growing].plants, self._room(option))
                if plants:
                    done.add(source.growing)
                    self._plant(option, source, plants)

    def _serve(self, wish: Wish, crop: str, needed: int) -> int:
        days = range(wish.first - wish.age, wish.last + 1)
        got = self._take(crop, days, needed)
        if got < needed:
            for option, pick in self._fitting(crop, days):
                plants = min(self._room(option), self._needed(option, pick, needed - got))
                if option.source is not None and plants:
                    self._plant(option, option.source, plants)
                    got += self._take(crop, days, needed - got)
                if got >= needed:
                    break
        return got

    def _fitting(self, crop: str, days: range) -> list[tuple[BedSet, Pick]]:
        """Return plantings picked on some days: those that bear well by then, set in and sown late."""
        picking = self._farm.crops[crop].picking
        curve = picking.curve if picking else (0,)
        usual = sum(curve) // len(curve)
        found = [each for day in days for each in self._ways.get((crop, day), ()) if curve[each[1].week]]
        found.sort(
            key=lambda each: (
                -min(curve[each[1].week], usual),
                -each[0].day,
                -(each[0].source.sown if each[0].source else 0),
                each[1].day,
            )
        )
        return found[:MOST_WAYS]

    def _needed(self, option: BedSet, pick: Pick, heads: int) -> int:
        crop = self._farm.crops[option.crop]
        curve = crop.picking.curve if crop.picking else (0,)
        return ceil_div(heads * pick.parts * MILLI * WHOLE_SHARE, max(1, curve[pick.week] * crop.heads_share))

    def _take(self, crop: str, days: range, wanted: int) -> int:
        spare, got = self._spare[crop], 0
        for day in days:
            some = min(wanted - got, spare.get(day, 0))
            if some:
                spare[day] -= some
                got += some
        return got

    def _room(self, option: BedSet) -> int:
        """Return the positions of its pool that are free for all its days."""
        stays = self._taken[option.pool]
        days = {option.day, *(start for start, _, _ in stays if option.day < start < option.free)}
        standing = (sum(number for start, free, number in stays if start <= day < free) for day in days)
        return max(0, self._pools[option.pool].positions - max(standing))

    def _plant(self, option: BedSet, source: TrayOut, plants: int) -> None:
        lot = self._lots[option.crop, source.sown, source.growing]
        crop = self._farm.crops[option.crop]
        grows = source.growing >= 0
        lot.cells[source] += (
            self._farm.growing[source.growing].plants if grows else needed_for(plants, crop.tray.survival)
        )
        lot.planted[option] += plants
        self._taken[option.pool].append((option.day, option.free, plants))
        self._ripen(option, plants)

    def _ripen(self, option: BedSet, plants: int) -> None:
        crop = self._farm.crops[option.crop]
        if crop.picking is None:
            return
        week, gone, before = -1, 0, 0
        for pick in option.picks:
            if pick.week != week:
                week, gone, before = pick.week, pick.part - 1, 0
            up_to = pick.most(plants, crop.picking.curve, crop.heads_share, gone)
            self._spare[option.crop][pick.day] += up_to - before
            before = up_to

    def _party(self, key: tuple[str, int, int], lot: _Lot) -> Party:
        crop, sown, growing = key
        kind = self._farm.equipment[self._farm.crops[crop].tray.unit]
        each = 1 if growing >= 0 else kind.cells_per_row
        party = Party(
            lot=lot_code(self._farm, crop, sown, growing),
            day=self._farm.today - 1 if growing >= 0 else sown,
            growing=(growing,) if growing >= 0 else (),
        )
        for source, cells in lot.cells.items():
            party.trays[source] += ceil_div(cells, each)
        for option, plants in lot.planted.items():
            party.planted[option] += plants
        return party
