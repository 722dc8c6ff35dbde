"""The model of a season around some deliveries: what the plan holds everywhere, every choice near by.

Far from the deliveries only the plan's own batches are in the model, as numbers; so it stays small whatever
the size of the farm, and its answer is still a plan of the whole season. What the farm has more of changes
only the limits of some rows of the model, which are worked out by the same rules.
"""

import copy
from collections import defaultdict
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from ortools.sat.python.cp_model import CpModel

from scheduler.farm.farm import Farm
from scheduler.farm.units import MILLI
from scheduler.model.answers.read_back import NotReadBack, values_of
from scheduler.model.answers.read_rows import PlanRows
from scheduler.model.build import RULES, Built, list_options
from scheduler.model.explain.near import FAR, NEAR, Area, area_of, near_options
from scheduler.model.explain.relax import More, relaxed
from scheduler.model.goals import blend, cost
from scheduler.model.options.bed_pools import BedPool, bed_pools
from scheduler.model.options.frame import OUTLET, Frame, Wish
from scheduler.model.options.frame import season as season_of
from scheduler.model.options.pools import Bundle
from scheduler.model.rules.beds import bed_positions
from scheduler.model.rules.coolers import coolers
from scheduler.model.rules.equipment import equipment
from scheduler.model.rules.hours import hours
from scheduler.model.rules.space import lane_slots, tier_slots, zone_slots
from scheduler.model.search.part import PartModel, Parts
from scheduler.model.search.selection import Part, Selection
from scheduler.model.sizes import SMALL_QUESTION, steps_of
from scheduler.model.solver.written import read_model
from scheduler.model.variables.decide import decide
from scheduler.model.variables.decisions import Decisions, Homes, Pulse
from scheduler.plan.relief import Limit
from scheduler.plan.rows import Plan

BEFORE = "\nbefore"
"""Ends the name of what was asked for before; no name of a book has two lines."""

NO_LIMIT = 2**62

Rule = Callable[[CpModel, Decisions], None]

RULE_OF: Mapping[Limit, Rule] = {
    Limit.SHELF: tier_slots,
    Limit.ZONE: zone_slots,
    Limit.ROW: lane_slots,
    Limit.BED: bed_positions,
    Limit.COOLER: coolers,
    Limit.TRAYS: equipment,
    Limit.BOARDS: equipment,
    Limit.RAFTS: equipment,
    Limit.DOMES: equipment,
    Limit.HOURS: hours,
}
"""Limit -> the rule whose rows hold it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a season's model is made for.

    Attributes:
        farm: the farm, possibly with more of something than the plan was made for.
        plan: a plan, of this farm or of one with less.
        bundles: rows as the plan's own model bundles them.
        names: the demands it is about.
        before: the same demands as they were asked for when the plan was made, where that has changed.
        rafts: rafts by which any row may be made longer.
        positions: positions by which any bed may be made larger.
        in_every_way: crops of which every day of their cuts is looked at.
    """

    farm: Farm
    plan: Plan
    bundles: tuple[Bundle, ...]
    names: tuple[str, ...]
    before: tuple[Wish, ...] = ()
    rafts: int = 0
    positions: int = 0
    in_every_way: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True, kw_only=True)
class Eased:
    """A farm with more of something, and the season's model on it.

    Attributes:
        farm: the farm.
        chosen: the model's variables, as variables of that farm.
        highs: row of the model -> the highest value that this raises it to.
    """

    farm: Farm
    chosen: Decisions
    highs: Mapping[int, int]


class Season:
    """A season's model with a plan as its answer.

    Attributes:
        asked: what it is made for.
        chosen: its variables.
        values: the plan in it.
        whole: every choice of the season is there.
    """

    def __init__(self, asked: Asked, pulse: Pulse) -> None:
        """Build the model.

        Raises:
            NotReadBack: the plan is none the planner could have made.
            Exception: whatever ``pulse`` raises to give the work up.
        """
        self.asked, self._pulse = asked, pulse
        frame = _frame(asked)
        options = list_options(frame)
        pulse()
        self.whole = steps_of(options, asked.bundles) <= SMALL_QUESTION
        self._areas = {w.name: area_of(frame, options, w) for w in frame.wishes if w.name in asked.names}
        rows = PlanRows(asked.farm, asked.plan)
        if not self.whole:
            options = near_options(asked.farm, rows, options, self._areas.values())
        homes = {} if self.whole else _homes(asked, rows, self._areas.values())
        self.chosen = Decisions(frame, options, asked.bundles, homes, pulse)
        self._model = CpModel()
        self._decide(asked)
        self._bare = self._model.clone()
        self._ends = self._keep_rules()
        self._model.minimize(blend(self.chosen))
        self._parts = Parts(self._model, pulse)
        if self._parts.count != len(self._model.proto.constraints):
            raise ValueError("a constraint of the model is not one row")
        self.values = values_of(Built(model=self._model, chosen=self.chosen), asked.plan)
        if not self._parts.holds(self.values):
            raise NotReadBack("it does not keep the planner's own rules, which are a little stricter")
        self._selection = None if self.whole else Selection(self.chosen)

    def _decide(self, asked: Asked) -> None:
        """Make the variables, large enough for a farm with longer rows and larger beds."""
        today = asked.farm.today
        larger = relaxed(
            asked.farm,
            [
                More(limit=Limit.ROW, amount=asked.rafts, first=today, last=today),
                More(limit=Limit.BED, amount=asked.positions, first=today, last=today),
            ],
        )
        own = self.chosen.bed_pools
        self.chosen.bundles = _bundles(larger, asked.bundles)
        self.chosen.bed_pools = _bed_pools(larger, own, today)
        decide(self._model, self.chosen)
        self.chosen.bundles, self.chosen.bed_pools = _bundles(asked.farm, asked.bundles), own

    def _keep_rules(self) -> dict[Rule, tuple[int, int]]:
        """Add every rule; return the rows of each."""
        ends: dict[Rule, tuple[int, int]] = {}
        for rule in RULES:
            self._pulse()
            first = len(self._model.proto.constraints)
            rule(self._model, self.chosen)
            ends[rule] = (first, len(self._model.proto.constraints))
        return ends

    @property
    def priced(self) -> bool:
        """Whether the book has any price of cost."""
        farm = self.asked.farm
        return bool(farm.costs) or any(crop.handling.seed_cost for crop in farm.crops.values())

    def cost(self, values: Sequence[int]) -> int:
        """Return what an answer costs, hundredths of money."""
        return sum(weight * values[v.index] for weight, v in cost(self.chosen).terms) // MILLI

    def servable(self, name: str) -> bool:
        """Say whether any batch at all, new or growing, could serve a delivery."""
        return name in self._areas and self._areas[name].first <= self._areas[name].last

    def part(
        self, names: Iterable[str], free: frozenset[int], highs: Mapping[int, int] | None = None
    ) -> PartModel:
        """Return the part of the model in which some variables are free and some deliveries are filled."""
        wanted = set(names)
        most = {
            short.index: 0
            for index, short in self.chosen.short.items()
            if self.chosen.frame.wishes[index].name in wanted
        }
        return self._parts.cut(self.values, set(free), most, highs or {})

    def whole_answer(self, part: PartModel, answer: Sequence[int]) -> list[int]:
        """Put a part's answer into the plan's."""
        return part.whole(self.values, answer)

    def keep(self, values: Sequence[int]) -> None:
        """Go on from another answer."""
        self.values = list(values)

    def frees(self, names: Iterable[str], less: Iterable[str] = ()) -> tuple[frozenset[int], ...]:
        """Return variables to free around some deliveries, fewer first.

        What any other delivery gets is never among them, but for those that may get ``less``.
        """
        wanted, may = set(names), {*names, *less}
        wishes = self.chosen.frame.wishes
        shorts = {short.index: wishes[index].name for index, short in self.chosen.short.items()}
        at_outlets = {wish.name for wish in wishes if wish.level == OUTLET}
        fixed = {index for index, name in shorts.items() if name not in may | at_outlets} | self._ghosts()
        if self._selection is None:
            return (frozenset(range(len(self.values))) - fixed,)
        selection = self._selection
        own = {index for index, name in shorts.items() if name in may}
        steps: list[set[int]] = [set(own), set(own), set(own)]
        for name in wanted:
            for number, part in enumerate(_parts_around(self._areas[name])):
                steps[number] |= selection.variables(part)
        return tuple(frozenset(step) - fixed for step in steps)

    def _ghosts(self) -> set[int]:
        """Return the variables of what was asked for before: they stay as they are."""
        wishes = self.chosen.frame.wishes
        gone = {index for index, wish in enumerate(wishes) if wish.name.endswith(BEFORE)}
        if not gone:
            return set()
        inside = {number for number, parcel in enumerate(self.chosen.parcels) if parcel.wish in gone}
        fixed = {fill.index for (_, _, number), fill in self.chosen.fills.items() if number in inside}
        return fixed | {units.index for (number, _), units in self.chosen.units.items() if number in inside}

    def as_it_is(self) -> Eased:
        """Return the farm with no more of anything."""
        return Eased(farm=self.asked.farm, chosen=self.chosen, highs={})

    def eased(self, mores: Iterable[More]) -> Eased:
        """Return the farm with more of some limits, and the rows of the model that this raises."""
        given = tuple(mores)
        farm = relaxed(self.asked.farm, given)
        eased = copy.copy(self.chosen)
        eased.frame = replace(self.chosen.frame, farm=farm)
        eased.bundles = _bundles(farm, self.asked.bundles)
        eased.bed_pools = _bed_pools(farm, self.chosen.bed_pools, farm.today)
        highs: dict[int, int] = {}
        for rule in dict.fromkeys(RULE_OF[more.limit] for more in given):
            model = self._bare.clone()
            bare = len(model.proto.constraints)
            rule(model, eased)
            rows = read_model(model, self._pulse).rows(bare)
            highs |= self._raised(rule, [((row.terms, row.when), row.high) for row in rows])
        return Eased(farm=farm, chosen=eased, highs=highs)

    def _raised(self, rule: Rule, eased: Iterable[tuple[object, int]]) -> dict[int, int]:
        """Match the rows of a rule with those it makes of another farm; one it leaves out has no limit."""
        wanted: dict[object, list[int]] = defaultdict(list)
        for key, high in eased:
            wanted[key].append(high)
        first, end = self._ends[rule]
        own: dict[object, list[int]] = defaultdict(list)
        for number, row in enumerate(self._parts.rows(first, end), first):
            own[row.terms, row.when].append(number)
        highs: dict[int, int] = {}
        for key, numbers in own.items():
            found = wanted.get(key, [])
            if len(found) != len(numbers):
                found = [max(found, default=NO_LIMIT)] * len(numbers)
            highs.update(zip(numbers, found, strict=True))
        return highs


def _parts_around(area: Area) -> tuple[Part, Part, Part]:
    return (
        Part(crops=area.crops, first=area.first, last=area.last),
        Part(crops=area.crops, first=area.first - NEAR, last=area.last + NEAR),
        Part(crops=area.around, first=area.first - FAR, last=area.last + FAR),
    )


def _frame(asked: Asked) -> Frame:
    """Return the season; what was asked for before keeps the plan's batches within their limits."""
    frame = replace(season_of(asked.farm), in_every_way=asked.in_every_way)
    ghosts = tuple(replace(wish, name=f"{wish.name}{BEFORE}") for wish in asked.before)
    return replace(frame, wishes=(*frame.wishes, *ghosts))


def _bundles(farm: Farm, bundles: Iterable[Bundle]) -> tuple[Bundle, ...]:
    """Return the same bundles of the rows of a farm that may have more slots."""
    places = {place.name: place for place in farm.places}
    return tuple(
        replace(bundle, places=tuple(places[place.name] for place in bundle.places)) for bundle in bundles
    )


def _bed_pools(farm: Farm, pools: Sequence[BedPool], today: int) -> tuple[BedPool, ...]:
    """Return the same pools of beds that may have more positions, which move the later sections up."""
    found = bed_pools(farm, today)
    return tuple(replace(pool, name=own.name) for pool, own in zip(found, pools, strict=True))


def _homes(asked: Asked, rows: PlanRows, areas: Iterable[Area]) -> Homes:
    """Let crops that are not near keep to the rows they stand in; where rafts are shared, none does."""
    if asked.farm.rules.share_rafts:
        return {}
    near = frozenset[str]().union(*(area.around for area in areas))
    bundle_of = {place.name: bundle.name for bundle in asked.bundles for place in bundle.places}
    homes: dict[str, set[str]] = defaultdict(set)
    for piece in rows.rafts:
        homes[rows.lots[piece.lot].crop].add(bundle_of[rows.place[piece.unit]])
    return {crop: frozenset(names) for crop, names in homes.items() if crop not in near}
