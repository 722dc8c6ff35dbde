"""Puts a plan together: units, places, names, cuts, deliveries, and the tables that follow from them."""

from dataclasses import replace

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.plan.boxes import box_item_rows, box_rows
from scheduler.plan.decided import Decided
from scheduler.plan.harvest import harvests
from scheduler.plan.layout.beds import bed_plantings, picking_rows, planting_rows
from scheduler.plan.layout.chains import chain_rows
from scheduler.plan.layout.demands import demand_rows
from scheduler.plan.layout.fills import fill_rows, heads_cut, heads_wanted, sale_rows
from scheduler.plan.layout.heads import Harvested, harvested
from scheduler.plan.layout.lanes import give_rows
from scheduler.plan.layout.lots import found_lots, lot_rows
from scheduler.plan.layout.naming import give_names
from scheduler.plan.layout.nursery import board_units, tray_units
from scheduler.plan.layout.order import in_order
from scheduler.plan.layout.own_figures import figure_rows
from scheduler.plan.layout.rafts import heads_promised, raft_units
from scheduler.plan.layout.slots import give_slots
from scheduler.plan.layout.spares import minutes_left, with_spares_together
from scheduler.plan.layout.tasks import task_rows
from scheduler.plan.layout.unit_rows import content_rows, position_rows, unit_row
from scheduler.plan.layout.units import Unit
from scheduler.plan.outlets import as_fills
from scheduler.plan.rows import GoalRow, Plan
from scheduler.plan.supplies import supply_rows
from scheduler.plan.tally import with_totals
from scheduler.plan.water import water_rows

Made = dict[str, str | int | float | bool | None]


def lay_out(farm: Farm, decided: Decided, goals: tuple[GoalRow, ...], made: Made) -> Plan:
    """Return the whole plan of decided amounts.

    Args:
        farm: the farm.
        decided: what is sown, moved, cut and delivered; amounts that keep every rule give a plan that does.
        goals: what the plan reaches, taken over as it is.
        made: how the plan was made, taken over as it is.

    Raises:
        KeyError: a crop, place or delivery that the farm does not have.
    """
    decided = in_order(decided)
    units = _placed_units(farm, decided)
    plan = _without_units(farm, decided, goals, made)
    plan = _with_units(farm, plan, units, _harvested(farm, decided, plan, units))
    plan = _with_goods(farm, plan, decided)
    given = [*plan.fills, *as_fills(farm, plan.sales)]
    with_boards = {crop.name: crop.board is not None for crop in farm.crops.values()}
    plan = replace(plan, chains=tuple(chain_rows(plan, given, units, with_boards)))
    plan = with_totals(farm, plan)
    plan = replace(plan, demands=tuple(demand_rows(farm, plan)), supplies=tuple(supply_rows(farm, plan)))
    plan = replace(plan, boxes=tuple(box_rows(farm, plan)), box_items=tuple(box_item_rows(farm, plan)))
    return replace(plan, tasks=tuple(task_rows(farm, plan, units)), water=tuple(water_rows(farm, plan)))


def _without_units(farm: Farm, decided: Decided, goals: tuple[GoalRow, ...], made: Made) -> Plan:
    """Return lots and what stands in beds; all that needs trays, boards and rafts is still blank."""
    found = found_lots(farm, decided)
    plantings = bed_plantings(farm, decided, found)
    pickings = picking_rows(farm, plantings, decided)
    return Plan(
        lots=tuple(lot_rows(farm, decided, found)),
        units=(),
        contents=(),
        positions=(),
        cuts=(),
        plantings=tuple(planting_rows(plantings)),
        pickings=tuple(pickings),
        fills=(),
        demands=(),
        use=(),
        equipment=(),
        hours=(),
        tasks=(),
        chains=(),
        seed=(),
        goals=goals,
        own_figures=tuple(figure_rows(farm)),
        made=made,
    )


def _harvested(farm: Farm, decided: Decided, plan: Plan, units: list[Unit]) -> Harvested:
    """Return what is cut and the heads it gives, spare plants together with the others of their raft."""
    wanted = heads_wanted([*decided.fills, *decided.sales])
    promised = heads_promised(farm, decided)
    return with_spares_together(
        farm,
        units,
        lambda: harvested(farm, units, wanted, promised),
        lambda harvest: minutes_left(farm, _with_units(farm, plan, units, harvest)),
    )


def _with_units(farm: Farm, plan: Plan, units: list[Unit], harvest: Harvested) -> Plan:
    return replace(
        plan,
        units=tuple(unit_row(unit) for unit in units),
        contents=tuple(row for unit in units for row in content_rows(farm, unit)),
        positions=tuple(row for unit in units for row in position_rows(unit)),
        cuts=tuple(harvest.rows()),
    )


def _with_goods(farm: Farm, plan: Plan, decided: Decided) -> Plan:
    """Return the plan with what deliveries get of each lot, and outlets of what is left then."""
    heads = heads_cut({row.lot: row for row in plan.lots}, harvests(plan.cuts, plan.plantings, plan.pickings))
    fills = fill_rows(farm, decided.fills, heads)
    sales = sale_rows(decided.sales, heads)
    return replace(plan, fills=tuple(fills), sales=tuple(sales))


def _placed_units(farm: Farm, decided: Decided) -> list[Unit]:
    """Return all trays, boards and rafts, named and standing in their slots."""
    found = found_lots(farm, decided)
    trays, boards = tray_units(farm, decided, found), board_units(farm, decided, found)
    give_slots(farm, PlaceKind.TIER, trays)
    give_slots(farm, PlaceKind.ZONE, boards)
    rafts = raft_units(farm, decided, found)
    give_rows(farm, rafts)
    return give_names(farm, [*trays, *boards, *rafts])
