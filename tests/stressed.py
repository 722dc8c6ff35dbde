"""Plans to be replayed, for tests: lots of lettuce that lose plants in trays alone, cut whole on one day."""

from farms import make_crop
from plans import Batch, build

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.plan.audit import audit
from scheduler.plan.rows import Plan
from scheduler.stress.chances import Chances
from scheduler.stress.replay import Replay, Tally

RUNS = 4000
LOSSES_ALONE = Chances(slow=0, early=0)


def crop_that_comes_up(share: int, name: str = "Lettuce", **needs: object) -> Crop:
    """Return a crop of which so many parts of ten thousand come up, and nothing is lost after."""
    return make_crop(name, tray=(10, 3, share), **needs)


def lot(cut: int, plants: int, rows: int = 3, **changes: object) -> Batch:
    """Return a lot of four cells a row that is cut on a day, from rafts of six: that many plants each."""
    full, left = divmod(plants, 6)
    assert not left, "whole rafts, so that all are cut alike"
    given = {
        "sown": cut - 34,
        "rows": rows,
        "board_day": cut - 24,
        "boards": (plants,),
        "raft_day": cut - 14,
        "rafts": (6,) * full,
        "cuts": ((cut, 6),),
    }
    return Batch(**(given | changes))


def sound(farm: Farm, *batches: Batch, fills: list[tuple[str, str, int, int]]) -> Plan:
    """Return a plan that the audit finds nothing wrong with; fills are (demand, lot, cut day, heads)."""
    plan = build(farm, *batches, fills=fills)
    assert [str(fault) for fault in audit(farm, plan)] == []
    return plan


def replayed(farm: Farm, plan: Plan, chances: Chances = LOSSES_ALONE, runs: int = RUNS) -> Tally:
    """Replay a plan."""
    return Replay(farm, plan, chances).tally(range(runs))


def hits(farm: Farm, tally: Tally) -> dict[str, int]:
    """Return demand name -> runs in which it was filled."""
    return {demand.name: found for demand, found in zip(farm.demands, tally.filled, strict=True)}


def fits(found: int, chance: float, runs: int = RUNS) -> bool:
    """Say whether so many of the runs are what a chance gives: within 4 standard deviations."""
    return abs(found - runs * chance) <= 4 * (runs * chance * (1 - chance)) ** 0.5 + 1e-9
