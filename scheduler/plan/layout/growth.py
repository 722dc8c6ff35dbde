"""Whether a batch could have its cuts at the pace of a trough."""

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.plan.decided import CutAmount, RaftBatch


def can_be_cut(farm: Farm, crop: Crop, batch: RaftBatch, trough: str) -> bool:
    """Say whether every cut of a new batch lies in its window when its rafts float in a trough."""
    return all(_in_window(farm, crop, cut, batch.day, trough) for cut in batch.cuts)


def _in_window(farm: Farm, crop: Crop, cut: CutAmount, raft_day: int, trough: str) -> bool:
    since, days = (raft_day, crop.finish.days) if cut.after is None else (cut.after, crop.cut_interval)
    first = farm.pace.first_day_reached(trough, since, days)
    return first <= cut.day <= farm.pace.last_day_within(trough, since, days + crop.finish.wait)
