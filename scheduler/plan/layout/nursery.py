"""Trays and boards: parts of lots packed so that those that stay longest stand together."""

from collections import defaultdict
from collections.abc import Iterable

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Farm, Growing
from scheduler.farm.growth.stages import PLACE_OF
from scheduler.farm.shared import batch_of, is_carrier, mates
from scheduler.plan.decided import BoardMove, Decided, TrayMove
from scheduler.plan.layout.lots import Found, lot_code
from scheduler.plan.layout.units import Cuts, Part, Unit, longest_first, pack, pack_found

TrayGroup = tuple[tuple[str, ...], str, int, str]
BoardGroup = tuple[tuple[str, ...], str, int, int, str, int]


def tray_units(farm: Farm, decided: Decided, found: list[Found]) -> list[Unit]:
    """Return every tray, those that grow already first."""
    groups: dict[TrayGroup, list[Part]] = defaultdict(list)
    for move in decided.tray_moves:
        if move.growing < 0:
            lot = lot_code(farm, move.crop, move.sown, -1)
            kind = farm.crops[move.crop].tray.unit
            owner = "" if farm.rules.share_trays else lot
            part = Part(
                lot=lot,
                crop=move.crop,
                amount=move.rows,
                leaves=move.day,
                from_day=move.sown,
                cuts=move.cuts,
            )
            groups[move.tiers, kind, move.sown, owner].append(part)
    units = _found_units(farm, found, StageKind.TRAY, decided.tray_moves)
    for (tiers, kind, sown, _), parts in groups.items():
        units += [
            Unit(item="tray", kind=kind, enters=sown, parts=held, places=tiers, home=tiers)
            for held in pack(longest_first(parts), farm.equipment[kind].rows)
        ]
    return _leaving_when_emptied(units)


def board_units(farm: Farm, decided: Decided, found: list[Found]) -> list[Unit]:
    """Return every board, those that grow already first."""
    groups: dict[BoardGroup, list[Part]] = defaultdict(list)
    on_boards = [move for move in decided.board_moves if _stood_on_boards(farm, move)]
    for move in decided.board_moves:
        stage = farm.crops[move.crop].board
        if stage is None or _stood_on_boards(farm, move):
            continue
        lot = lot_code(farm, move.crop, move.sown, move.growing)
        first = batch_of(farm, move.growing) if move.growing >= 0 else -1
        owner = ("", -1) if farm.rules.share_boards else (lot if first < 0 else "", first)
        part = Part(lot=lot, crop=move.crop, amount=move.plants, leaves=move.day, from_day=_sown(farm, move))
        groups[move.zones, stage.unit, stage.plants_per_unit, move.board_day, *owner].append(part)
    units = _found_units(farm, found, StageKind.BOARD, on_boards)
    for (zones, kind, size, day, _, _), parts in groups.items():
        units += [
            Unit(item="board", kind=kind, enters=day, parts=held, places=zones, home=zones)
            for held in pack(longest_first(parts), size)
        ]
    return _leaving_when_emptied(units)


def _stood_on_boards(farm: Farm, move: BoardMove) -> bool:
    return move.growing >= 0 and farm.growing[move.growing].stage is StageKind.BOARD


def _sown(farm: Farm, move: BoardMove) -> int | None:
    return farm.growing[move.growing].since if move.growing >= 0 else move.sown


def _leaving_when_emptied(units: list[Unit]) -> list[Unit]:
    for unit in units:
        unit.leaves = unit.emptied
    return units


def _found_units(
    farm: Farm, found: list[Found], stage: StageKind, moves: Iterable[TrayMove | BoardMove]
) -> list[Unit]:
    """Return the trays or boards that grow on the first day; what is thrown away leaves today."""
    by_row: dict[int, list[TrayMove | BoardMove]] = defaultdict(list)
    for move in moves:
        by_row[move.growing].append(move)
    units = []
    by_index = {each.index: each for each in found}
    for each in found:
        if each.row.stage is not stage or not is_carrier(farm, each.index):
            continue
        rows = [by_index[at] for at in mates(farm, each.index)]
        own = [move for one in rows for move in by_row[one.index]]
        home = _home(farm, each.row)
        pool = next((m.tiers if isinstance(m, TrayMove) else m.zones for m in own), home)
        parts = [part for one in rows for part in _found_parts(farm, one, by_row[one.index])]
        for at, held in enumerate(pack_found(longest_first(parts), each.row.units)):
            kind = farm.crops[each.row.crop].stage(stage)
            units.append(
                Unit(
                    item=stage.value,
                    kind=kind.unit if kind else "",
                    enters=each.row.since,
                    parts=held,
                    places=pool,
                    home=home,
                    growing=each.index,
                    found_slot=each.row.order + at if each.row.order and len(home) == 1 else 0,
                )
            )
    return units


def _found_parts(farm: Farm, each: Found, moves: list[TrayMove | BoardMove]) -> list[Part]:
    row = each.row
    since = row.since if row.stage is StageKind.TRAY else None
    amounts: list[tuple[int, int, Cuts]] = [(farm.today, each.thrown, ())]
    for move in moves:
        amounts.append((move.day, move.plants, move.cuts if isinstance(move, TrayMove) else ()))
    return longest_first(
        Part(lot=row.lot, crop=row.crop, amount=plants, leaves=day, from_day=since, cuts=cuts)
        for day, plants, cuts in amounts
    )


def _home(farm: Farm, row: Growing) -> tuple[str, ...]:
    """Return the places a growing row may be meant to stand in: its place, or all of its shelf or trough."""
    places = farm.places_of(PLACE_OF[row.stage])
    exact = tuple(place.name for place in places if place.name == row.place)
    return exact or tuple(place.name for place in places if place.belongs_to == row.place)
