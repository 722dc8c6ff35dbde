"""The fourth goal: what differs from an earlier plan, in points like those of simplicity.

A lot that is given up or added, and plants set on rafts or into beds on another day or in another number,
count; where in its shelf or row something stands, and which lot fills which delivery, do not.
"""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.model.again.parties import Party
from scheduler.model.goals import Term
from scheduler.model.variables.decisions import Decisions, Tag

LOT = 300
"""Points for a lot that is sown though it was not planned, or planned and not sown (estimate)."""

PLANT = 3
"""Points for a plant set on a raft on another day than planned, or planned and not set out (estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Apart:
    """Variables of what is set out of a crop on a day, how many were planned, and two for how far off."""

    plants: tuple[int, ...]
    wanted: int
    fewer: int
    more: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """The goal.

    Attributes:
        terms: weighted variables; ``added`` goes on top of their sum.
        added: see there.
        apart: variables of the model that only this goal has.
    """

    terms: tuple[Term, ...]
    added: int
    apart: tuple[_Apart, ...]

    def settle(self, values: list[int]) -> None:
        """Set the variables that only this goal has."""
        for each in self.apart:
            off = sum(values[index] for index in each.plants) - each.wanted
            values[each.fewer], values[each.more] = max(0, -off), max(0, off)

    def points(self, values: Sequence[int]) -> int:
        """Return what an answer reaches in this goal."""
        return self.added + sum(weight * values[variable.index] for weight, variable in self.terms)


def change_goal(model: CpModel, chosen: Decisions, parties: Sequence[Party]) -> Change:
    """Return the goal for the lots of an earlier plan; adds two variables for a crop and raft day of it."""
    terms: list[Term] = []
    added = 0
    wanted = {(out.crop, out.sown) for party in parties for out in party.trays if out.growing < 0}
    for key, sown in chosen.lots.items():
        kept = key in wanted
        terms.append((-LOT if kept else LOT, sown))
        added += LOT if kept else 0
    plants, apart = _wanted(parties), list[_Apart]()
    for key, variables in _set_out(chosen).items():
        if key not in plants:
            terms += [(PLANT, variable) for variable in variables]
            continue
        fewer, more = _apart(model, chosen, key, (variables, plants[key]))
        terms += [(PLANT, fewer), (PLANT, more)]
        indices = tuple(variable.index for variable in variables)
        apart.append(_Apart(plants=indices, wanted=plants[key], fewer=fewer.index, more=more.index))
    return Change(terms=tuple(terms), added=added, apart=tuple(apart))


def _wanted(parties: Sequence[Party]) -> dict[tuple[str, int], int]:
    """Return (crop, day) -> plants that were planned to be set on rafts or into beds."""
    plants: dict[tuple[str, int], int] = defaultdict(int)
    for party in parties:
        for part in party.afloat:
            if part.option.source is not None:
                plants[part.option.crop, part.option.day] += part.plants
        for planting, number in party.planted.items():
            plants[planting.crop, planting.day] += number
    return plants


def _set_out(chosen: Decisions) -> dict[tuple[str, int], list[IntVar]]:
    """Return (crop, day) -> variables of what is set on rafts or into beds."""
    found: dict[tuple[str, int], list[IntVar]] = defaultdict(list)
    for option, variable in chosen.raft_plants.items():
        if option.source is not None:
            found[option.crop, option.day].append(variable)
    for planted, variable in chosen.bed_plants.items():
        found[planted.crop, planted.day].append(variable)
    return found


def _apart(
    model: CpModel, chosen: Decisions, key: tuple[str, int], wish: tuple[list[IntVar], int]
) -> tuple[IntVar, IntVar]:
    """Return variables for how many plants fewer, and how many more, than wished."""
    variables, wanted = wish
    crop, day = key
    tag = Tag(crop, day, True)
    most = sum(chosen.most(variable) for variable in variables)
    fewer = chosen.new(model, wanted, f"fewer_{crop}_{day}", tag)
    more = chosen.new(model, max(1, most - wanted), f"more_{crop}_{day}", tag)
    model.add(sum(variables) + fewer >= wanted)
    model.add(sum(variables) - more <= wanted)
    return fewer, more
