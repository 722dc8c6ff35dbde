"""A plan with boxes written down by hand: two weeks of a share with full and half boxes, the second short."""

from dataclasses import replace

from boxed import box_farm, share, slot, wish
from plans import Batch, build, settle
from solving import quick_crop

from scheduler.farm.farm import Farm
from scheduler.plan.boxes import box_item_rows, box_rows
from scheduler.plan.rows import Plan


def boxed_farm(name: str = "Box") -> Farm:
    """Return a farm with a share of two places, for 4 full and 3 half boxes on days 9 and 16."""
    own = share(
        slot("A leaf"),
        slot("A second", amount=2000, half_amount=500),
        name=name,
        least_value=600,
        least_kinds=3,
        kinds_boxes=2,
        wishes=(wish("Kale", "favourite"), wish("Cress", "dislike")),
    )
    crops = [quick_crop("Lettuce"), quick_crop("Kale"), quick_crop("Cress", handling={"keeping_days": 3})]
    return box_farm(own, on=[2, 9, 16], boxes=(4, 3), crops=crops, lanes=3)


def boxed_plan(farm: Farm) -> Plan:
    """Return its plan: Lettuce and Kale on day 9, on day 16 too little Kale and Cress."""
    (name,) = farm.boxes.shares
    batches = [
        raft("Lettuce", 9, (6,), "Trough 1"),
        raft("Kale", 9, (6, 6), "Trough 2"),
        raft("Kale", 16, (6,), "Trough 2"),
        raft("Cress", 16, (6, 6), "Trough 3"),
    ]
    fills = [
        (f"{name} A leaf 9", "LET-260304", 9, 6),
        (f"{name} A second 9", "KAL-260304", 9, 10),
        (f"{name} A leaf 16", "KAL-260311", 16, 4),
        (f"{name} A second 16", "CRE-260311", 16, 10),
    ]
    plan = settle(farm, build(farm, *batches, fills=fills))
    return replace(plan, boxes=tuple(box_rows(farm, plan)), box_items=tuple(box_item_rows(farm, plan)))


def raft(crop: str, day: int, rafts: tuple[int, ...], lane: str) -> Batch:
    """Return a batch of a quick crop that is cut on a day."""
    return Batch(
        crop=crop, sown=day - 7, rows=3, board_day=None, raft_day=day - 4, rafts=rafts,
        cuts=((day, 6),), lane=lane,
    )  # fmt: skip
