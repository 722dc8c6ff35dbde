"""Which trays, boards and rafts may hold each other's plants: the group of units of an option."""

from scheduler.farm.farm import Farm
from scheduler.model.options.options import BoardOut, RaftSet, TrayOut
from scheduler.model.variables.decisions import (
    UnitGroup,
    batch_lot,
    entered_before,
    growing_owner,
    growing_per_unit,
    lot_of,
)


def tray_group(farm: Farm, out: TrayOut) -> UnitGroup:
    """Return the trays: all of a sowing day where lots may share them, else those of a lot."""
    tray = farm.crops[out.crop].tray
    shared = farm.rules.share_trays and out.growing < 0
    per_unit = farm.equipment[tray.unit].rows if out.growing < 0 else growing_per_unit(farm, out.growing)
    return UnitGroup(
        pool=out.pool,
        kind=tray.unit,
        per_unit=per_unit,
        enters=out.sown,
        owner=None if shared else growing_owner(farm, out) if out.growing >= 0 else (*lot_of(out), 0),
    )


def board_group(farm: Farm, out: BoardOut) -> UnitGroup:
    """Return the boards set out on a day: those of a lot, or of all where the book lets them share."""
    board = farm.crops[out.crop].board
    if board is None:
        raise ValueError(f"{out.crop} has no board stage")
    grows = out.source is None
    return UnitGroup(
        pool=out.pool,
        kind=board.unit,
        per_unit=growing_per_unit(farm, out.growing) if grows else board.plants_per_unit,
        enters=out.board_day,
        owner=_board_owner(farm, out),
    )


def _board_owner(farm: Farm, out: BoardOut) -> tuple[str, int, int, int] | None:
    if out.source is None:
        return growing_owner(farm, out)
    return None if farm.rules.share_boards else (*batch_lot(farm, out), 0)


def raft_group(farm: Farm, option: RaftSet) -> UnitGroup:
    """Return the rafts filled on a day: of plants of a lot that came into the stage before on one day."""
    crop = farm.crops[option.crop]
    raft = crop.finish
    grows = option.source is None
    shared = farm.rules.share_rafts and not grows
    owner = growing_owner(farm, option) if grows else (*batch_lot(farm, option), entered_before(option))
    return UnitGroup(
        pool=f"{option.pool}: {', '.join(sorted(crop.lanes))}" if shared else option.pool,
        kind=raft.unit,
        per_unit=growing_per_unit(farm, option.growing) if grows else raft.plants_per_unit,
        enters=option.day,
        owner=None if shared else owner,
    )
