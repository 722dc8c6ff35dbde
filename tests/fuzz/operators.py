"""What an operator is that breaks a plan, how one is noted, and what they share."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from random import Random
from typing import Any

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.plan.audit import RULES
from scheduler.plan.rows import Plan, PositionRow, UnitRow
from scheduler.plan.tally import with_totals

Broken = tuple[Farm, Plan] | None
Breaker = Callable[[Random, Farm, Plan], Broken]

BOOKKEEPING = "bookkeeping"


@dataclass(frozen=True, kw_only=True)
class Operator:
    """One way to break a rule.

    Attributes:
        rule: the rule it breaks, a name of ``RULES``.
        breaks: the function that does it.
        sides: other rules whose faults it may bring.
        totals: whether totals are worked out again afterwards.
    """

    rule: str
    breaks: Breaker
    sides: frozenset[str]
    totals: bool = True

    @property
    def name(self) -> str:
        return self.breaks.__name__

    def broken(self, draw: Random, farm: Farm, plan: Plan) -> Broken:
        """Return the farm and the plan broken."""
        found = self.breaks(draw, farm, plan)
        if found is None or not self.totals:
            return found
        return found[0], with_totals(*found)


OPERATORS: list[Operator] = []


def operator(rule: str, *sides: str, totals: bool = True) -> Callable[[Breaker], Breaker]:
    """Note a function as an operator that breaks a rule."""
    assert {rule, *sides} <= set(RULES)

    def note(breaks: Breaker) -> Breaker:
        OPERATORS.append(
            Operator(rule=rule, breaks=breaks, sides=frozenset({*sides, BOOKKEEPING}), totals=totals)
        )
        return breaks

    return note


def put(plan: Plan, table: str, row: Any, **new: Any) -> Plan:
    """Return the plan with one row changed; that row, not one like it."""
    rows = tuple(replace(each, **new) if each is row else each for each in getattr(plan, table))
    tables: dict[str, Any] = {table: rows}
    return replace(plan, **tables)


def put_each(plan: Plan, table: str, hit: Callable[[Any], bool], **new: Any) -> Plan:
    """Return the plan with the rows that are hit changed."""
    rows = tuple(replace(each, **new) if hit(each) else each for each in getattr(plan, table))
    tables: dict[str, Any] = {table: rows}
    return replace(plan, **tables)


def one(draw: Random, rows: Iterable[Any]) -> Any:
    """Return one of some things, None when there is none."""
    listed = list(rows)
    return draw.choice(listed) if listed else None


def items_of(plan: Plan) -> dict[str, UnitRow]:
    return {unit.unit: unit for unit in plan.units}


def standing(farm: Farm, plan: Plan, *kinds: PlaceKind) -> list[PositionRow]:
    of = {place.name: place.kind for place in farm.places}
    return [row for row in plan.positions if of[row.place] in kinds]


def meet(a: PositionRow, b: PositionRow) -> bool:
    return a.enters < b.until and b.enters < a.until
