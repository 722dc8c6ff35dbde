"""The plan week by week: what is ordered and filled, what is sown, set out and cut, the hours and the use."""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.plan.harvest import harvests_of
from scheduler.plan.rows import Plan
from scheduler.plan.tally import growing_units
from scheduler.plan.views.fullest import Full, kind_weeks, week_of, week_spans
from scheduler.plan.words import as_heads_by_day


@dataclass(frozen=True, slots=True, kw_only=True)
class Week:
    """Sums over one week, Monday to Sunday, from today on and cut off at the plan's end.

    Attributes:
        first, last: its first and last day.
        deliveries, complete: deliveries and weeks of targets asked for, and those of them that are filled.
        ordered, filled: sale units asked for and delivered; ``ordered`` is ``filled`` with the two below.
        short: units missing that a sowing could have reached.
        unreachable: units missing where it is too early for any sowing, or no harvest day is near enough.
        cells: tray cells sown.
        trays, boards, rafts: units filled; those that grow already when the plan begins are not counted.
        heads: heads cut or picked that can be sold.
        minutes: work, hundredths of a minute.
        crew: minutes the crew has in the week from today on, hundredths; None without a limit.
        use: kind of place -> its fullest day, None without rows; kinds the farm does not have are left out.
    """

    first: int
    last: int
    deliveries: int
    complete: int
    ordered: int
    filled: int
    short: int
    unreachable: int
    cells: int
    trays: int
    boards: int
    rafts: int
    heads: int
    minutes: int
    crew: int | None
    use: Mapping[PlaceKind, Full | None] = field(default_factory=dict)


SUMS = (
    "deliveries",
    "complete",
    "ordered",
    "filled",
    "short",
    "unreachable",
    "cells",
    "trays",
    "boards",
    "rafts",
    "heads",
    "minutes",
)
"""What is added up."""

Sums = list[dict[str, int]]


def weeks(farm: Farm, plan: Plan) -> tuple[Week, ...]:
    """Return the weeks of a plan: reported demand and reported days only.

    A week of a target counts in the week its first day lies in, or in the first one where it has begun.
    """
    spans = week_spans(farm)
    sums: Sums = [dict.fromkeys(SUMS, 0) for _ in spans]
    _add_demands(farm, plan, sums)
    _add_growing(farm, plan, sums)
    use = kind_weeks(farm, plan)
    return tuple(
        Week(
            first=first,
            last=last,
            crew=_crew(farm, first, last),
            use={kind: of_kind[number] for kind, of_kind in use.items()},
            **sums[number],
        )
        for number, (first, last) in enumerate(spans)
    )


def _add_demands(farm: Farm, plan: Plan, sums: Sums) -> None:
    for row in plan.demands:
        if row.reported:
            week = sums[week_of(farm, row.day)]
            week["deliveries"] += 1
            week["complete"] += row.state == "filled"
            week["ordered"] += row.amount
            week["filled"] += row.filled
            week["short" if row.state == "short" else "unreachable"] += row.missing


def _add_growing(farm: Farm, plan: Plan, sums: Sums) -> None:
    """Add what is sown, set out, cut and worked on reported days from today on."""
    grown = growing_units(farm, plan)
    dated = [
        *((lot.sown, "cells", lot.cells) for lot in plan.lots if lot.sown is not None),
        *((unit.enters, f"{unit.item}s", 1) for unit in plan.units if unit.unit not in grown),
        *((day, "heads", heads) for day, heads in _heads(farm, plan)),
        *((row.day, "minutes", row.minutes) for row in plan.hours),
    ]
    for day, name, number in dated:
        if farm.today <= day < farm.calendar.days and name in SUMS:
            sums[week_of(farm, day)][name] += number


def _heads(farm: Farm, plan: Plan) -> Iterator[tuple[int, int]]:
    """Yield day and heads harvested of each crop, as they count in sums over crops."""
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    heads: dict[str, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    for cut in harvests_of(plan):
        if crop_of.get(cut.lot) in farm.crops:
            heads[crop_of[cut.lot]][cut.day] += cut.heads
    for crop, of_days in heads.items():
        yield from as_heads_by_day(farm, crop, of_days).items()


def _crew(farm: Farm, first: int, last: int) -> int | None:
    if farm.crew is None:
        return None
    return sum(farm.crew.on(day) for day in range(first, last + 1))
