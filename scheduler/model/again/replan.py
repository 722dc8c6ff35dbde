"""A plan from what stands that changes as little of the plan before as it must.

The lots of the plan before are put into a model of the farm as it stands; what no longer fits falls out.
From there what is short is repaired, as in every search, and what differs from before counts as the fourth
goal. Work of the first days that stays possible is not touched.
"""

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from ortools.sat.python.cp_model import LinearExpr

from scheduler.farm.farm import Farm
from scheduler.farm.orders.goods import crops_for
from scheduler.model.again.change import Change, change_goal
from scheduler.model.again.elsewhere import with_rows_for_others
from scheduler.model.again.parties import Party, parties_of
from scheduler.model.again.placed import placed
from scheduler.model.again.rows import bundles_for
from scheduler.model.answers.reached import SHORTAGES, reached
from scheduler.model.build import Built, build, list_options
from scheduler.model.first.bed_start import plant_beds
from scheduler.model.first.line_up import has_many_rows
from scheduler.model.goals import blend
from scheduler.model.made import laid_out
from scheduler.model.options.beyond import beyond_reach, not_reported
from scheduler.model.options.frame import Raised, season
from scheduler.model.search.begun import homes_from
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.manners import ROUNDS, Around, filling_until
from scheduler.model.search.part import Parts
from scheduler.model.search.repair import Repair
from scheduler.model.search.widen import carried_over, wider_homes
from scheduler.model.settings import Progress, SolveSettings
from scheduler.model.sizes import SMALL_BOOK, steps_of
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.model.variables.decisions import Decisions
from scheduler.plan.earlier import Earlier
from scheduler.plan.rows import GoalRow, Plan
from scheduler.plan.worth import CHANGE, GOAL_NAMES, unit_of

Tell = Callable[[Progress], None]

MOST_ROUNDS = 4
"""Rounds of repair at first: wider ones take long, and seldom fill what stands too late to be grown again."""

ENDLESS = 7 * 86_400.0
"""Seconds for putting the plan before into the model: as long as it takes."""

WIDENING = 0.5
"""Share of the time within which a second model with more rows must be ready."""

PATIENCE = 0.1
"""Share of the time after which short crops get more rows if nothing was filled, and for which cost is saved.

At least a third of what it took to put the plan before into the model: on a large farm steps take longer.
"""

ALL_SEARCHED = 40.0
"""Seconds from which on all that are asked for are searched, whether anything is filled or not.

Of fewer the search ends once nothing was filled for a share of them that is as large as they are of these: a
fifth of the usual eight, for a grower waits for the answer.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """What planning again gives.

    Attributes:
        plan: the plan, None where none was found in time.
        fallen: lots of the plan before that could not stay in it as they were.
        tried_all: whether the search ended before its time because nothing it could free fills more.
        without_memory: whether it was for want of memory that there is no plan.
    """

    plan: Plan | None
    fallen: tuple[str, ...]
    tried_all: bool = False
    without_memory: bool = False


def plan_again(
    farm: Farm,
    before: Earlier,
    settings: SolveSettings,
    on_progress: Tell | None = None,
    stop: threading.Event | None = None,
) -> Again:
    """Plan what stands, beginning from the plan before.

    Args:
        farm: what stands on its first day.
        before: the plan before, in the days of that farm.
        settings: effort; its seconds begin once the plan before stands in the model, and are at least as many
            as that took. The search ends sooner where nothing is shorter than before, and where every part
            around what is was solved to its best.
        on_progress: called with each step of the search.
        stop: when set, the search ends soon with the best plan so far.
    """
    endless = replace(settings, seconds=ENDLESS)
    search = _Search(farm, before, (Engine(endless, stop), settings), on_progress)
    try:
        best = search.first()
    except Stopped:
        return Again(plan=None, fallen=())
    if best is None:
        return Again(plan=None, fallen=search.fallen)
    best = search.mend(best)
    plan = search.plan_of(best)
    return Again(plan=plan, fallen=search.fallen, tried_all=search.tried_all, without_memory=plan is None)


class _Search:
    """One search."""

    def __init__(
        self, farm: Farm, before: Earlier, how: tuple[Engine, SolveSettings], tell: Tell | None
    ) -> None:
        self._farm, self._before, self._tell = farm, before, tell
        self._engine, self._settings = how
        self._change = Change(terms=(), added=0, apart=())
        self._frame, self._bundles = season(farm), bundles_for(farm, before)
        self._parties: list[Party] = []
        self._ready = 0.0
        self.fallen: tuple[str, ...] = ()
        self.tried_all = False

    def first(self) -> Incumbent | None:
        """Return the plan before as far as it can still be; None where there is no answer at all.

        Raises:
            Stopped: the search was to end before there was one.
        """
        self._say("reading the plan before", None)
        homes, bundles = None, self._bundles
        if steps_of(list_options(self._frame), bundles) > SMALL_BOOK:
            self._frame = replace(self._frame, sources=1, kept=_raised(self._before))
            homes = homes_from(self._farm, self._before.plan, bundles)
            homes = with_rows_for_others(self._farm, self._before, bundles, homes)
        built = build(self._frame, bundles, homes, self._engine.check)
        self._parties, lost = parties_of(built.chosen, self._before)
        parts, parties = self._parts_of(built), self._parties
        self._say("putting what stands into it", None)
        found = placed(self._engine, (built, parts, self._change), parties)
        if found is None:
            self.fallen = tuple(party.lot for party in parties)
            found = placed(self._engine, (built, parts, self._change), [])
            if found is None:
                return None
        else:
            self.fallen = (*lost, *found.fallen)
        return Incumbent(built, parts, found.values, change=self._change.terms)

    def _parts_of(self, built: Built) -> Parts:
        """Give a model the goal of this search, and return it ready to be cut."""
        self._change = change_goal(built.model, built.chosen, self._parties)
        differs = LinearExpr.weighted_sum(
            [variable for _, variable in self._change.terms], [weight for weight, _ in self._change.terms]
        )
        built.model.minimize(LinearExpr.sum([differs, blend(built.chosen)]))
        return Parts(built.model, self._engine.check)

    def mend(self, best: Incumbent) -> Incumbent:
        """Fill what is shorter than it was in the plan before, then save a little; return the best answer.

        Work of the first days stays. Crops that stay short may soon stand in every row, and then all the time
        there is goes into what is shorter than before.
        """
        begun, seconds = self._engine.spent, self._settings.seconds
        if not self._settings.deterministic:
            self._ready = begun
        seconds, patience = max(seconds, self._ready), max(seconds * PATIENCE, self._ready / 3)
        best.held = frozen(best.built.chosen, best.values)
        if self._beds_are_short(best):
            self._say("planting the beds", best)
            # what stands in beds or was to be set in stays as it is: plantings are only added
            chosen = best.built.chosen
            planted = (*chosen.bed_plants.values(), *chosen.bed_kept.values())
            best.held |= {each.index for each in planted if best.values[each.index]}
            plant_beds(self._engine, best, seconds * 0.2)
            best.held = frozen(chosen, best.values)
        until = begun + seconds
        filling = begun + filling_until(self._farm, seconds)
        repair = self._repair(best)
        repair.give_up_after(patience)
        repair.one_by_one(filling)
        repair.shortages(filling)
        best = self._wider(best, repair, begun + seconds * WIDENING) or best
        repair = self._repair(best, ROUNDS)
        self.tried_all = repair.on_and_on(
            filling, seconds, max(seconds * min(1.0, seconds / ALL_SEARCHED), patience)
        )
        repair.sell(until)
        if best.improved or self.fallen:
            # what goes on as planned is left as it is, cheaper or not
            repair.sweep(min(until, self._engine.spent + patience))
        return best

    def _repair(self, best: Incumbent, rounds: tuple[Around, ...] = ROUNDS[:MOST_ROUNDS]) -> Repair:
        chosen = best.built.chosen
        lost = beyond_reach(chosen.frame) - {chosen.parcels[number].wish for _, _, number in chosen.fills}
        lost |= self._short_before(best)
        best.held = frozen(chosen, best.values)
        return Repair(self._engine, best, lambda phase: self._say(phase, best), lost, rounds)

    def _wider(self, best: Incumbent, repair: Repair, until: float) -> Incumbent | None:
        """Return the answer with more rows for crops that are short; None without such rows, or time."""
        chosen = best.built.chosen
        if has_many_rows(self._farm) or self._engine.spent + self._ready >= until:
            return None
        homes = wider_homes(chosen, chosen.homes, set(repair.short(1)))
        if homes is None:
            return None
        self._say("giving short crops more rows", best)
        change = self._change
        try:
            built = build(self._frame, self._bundles, homes, self._engine.check)
            parts = self._parts_of(built)
        except Stopped:
            self._change = change
            return None
        values = carried_over(best, built)
        self._change.settle(values)
        return Incumbent(built, parts, values, change=self._change.terms)

    def _beds_are_short(self, best: Incumbent) -> bool:
        """Say whether anything is short that could come from a bed."""
        chosen = best.built.chosen
        crops = {option.crop for option in chosen.options.bed_sets}
        return any(
            best.values[variable.index] and crops & set(crops_for(self._farm, chosen.frame.wishes[index]))
            for index, variable in chosen.short.items()
        )

    def _short_before(self, best: Incumbent) -> set[int]:
        """Return the wishes that lack no more than in the plan before, which a longer search left so."""
        chosen = best.built.chosen
        lacked = {row.demand: row.amount - row.filled for row in self._before.plan.demands}
        return {
            index
            for index, wish in enumerate(chosen.frame.wishes)
            if best.values[chosen.short[index].index] <= lacked.get(wish.name, 0)
        }

    def plan_of(self, best: Incumbent) -> Plan | None:
        """Return the plan of an answer; None where there is no memory for its rows."""
        plan = laid_out(self._farm, best, self._settings)
        return None if plan is None else replace(plan, goals=self._goals(best, plan))

    def _goals(self, best: Incumbent, plan: Plan) -> tuple[GoalRow, ...]:
        rows = list(reached(best, plan, lambda row: row.state in ("filled", "short")))
        change = GoalRow(
            level=CHANGE,
            goal=GOAL_NAMES[CHANGE],
            value=float(self._change.points(best.values)),
            unit=unit_of(self._farm, CHANGE),
            bound=None,
            status="best found",
        )
        found = sorted([*rows, change], key=lambda row: row.level)
        return tuple(
            replace(row, bound=0.0, status="proven") if row.level in SHORTAGES and not row.value else row
            for row in found
        )

    def _say(self, phase: str, best: Incumbent | None) -> None:
        if self._tell is None:
            return
        short = -1 if best is None else best.units_short(1, not_reported(best.built.chosen.frame))
        value = float(best.score[0]) if best else 0.0
        self._tell(Progress(phase=phase, short=short, value=value, bound=0.0, seconds=self._engine.spent))


def _raised(before: Earlier) -> frozenset[Raised]:
    """Return how each lot of an earlier plan that is still to be sown is raised."""
    found: set[Raised] = set()
    sown = {row.lot: row.sown for row in before.plan.lots if row.origin == "sown"}
    for (lot, item), rows in before.held.items():
        day = sown.get(lot)
        if item != "raft" or day is None or day < 0:
            continue
        for held in rows:
            since = held.content.from_day
            board = None if since == day else since
            found.add((before.crop_of[lot], day, board, held.content.enters))
    return frozenset(found)


def frozen(chosen: Decisions, values: Sequence[int]) -> frozenset[int]:
    """Return the variables of what is done or delivered in the first days as it stands in an answer."""
    first = chosen.farm.today
    until = first + chosen.farm.rules.freeze_days
    days: list[tuple[int, int]] = [
        (variable.index, out.day if out.growing >= 0 else out.sown)
        for out, variable in chosen.tray_rows.items()
    ]
    days += [
        (variable.index, board.day if board.source is None else board.board_day)
        for board, variable in chosen.board_plants.items()
    ]
    days += [
        (variable.index, option.day)
        for option, variable in chosen.raft_plants.items()
        if option.source is not None
    ]
    days += [
        (variable.index, option.day)
        for option, variable in chosen.bed_plants.items()
        if option.source is not None
    ]
    days += [(variable.index, step.day) for (_, step), variable in chosen.cut_plants.items()]
    held = {index for index, day in days if day < until and values[index]}
    for index, wish in enumerate(chosen.frame.wishes):
        short = chosen.short[index].index
        if wish.last < until and not values[short]:
            held.add(short)
    return frozenset(held)
