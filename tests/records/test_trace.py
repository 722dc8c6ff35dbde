"""Lots followed back to their seed and forward to customers."""

import pytest
from recorded import boarded, cut, grown, on, rafted, sown, tell, told

from scheduler.records.trace import Untraced, trace_delivery, trace_lot, trace_seed_lot

LOT = "BUT-260302"
TO = {"lot": LOT, "delivery": "R1 2026-04-21"}


@pytest.fixture(scope="module")
def log(farm):
    """Two lots of one seed lot; one went to two customers, was treated and partly lost."""
    log = tell(farm, [], sown(seed_lot="S-1; S-2", who="Ana"), boarded(), rafted())
    log = tell(farm, log, sown(7, seed_lot="S-2"), told("lost", 30, lot=LOT, plants=2, note="rot"))
    log = tell(
        farm, log, told("treated", 40, place="North trough 1", product="soap", days=3, who="Ben"), cut()
    )
    log = tell(farm, log, told("delivered", 50, heads=12, **TO), told("lost", 8, lot="BUT-260309", plants=1))
    log = tell(farm, log, told("delivered", 51, heads=10, lot=LOT, customer="Ferry Pantry"))
    told_wrong = str(len(log))
    right = told("delivered", 51, heads=9, lot=LOT, customer="Ferry Pantry", corrects=told_wrong)
    return tell(farm, log, right)


def test_a_delivery_leads_back_to_its_seed_lots(farm, log):
    trace = trace_delivery(farm, log, "R1 2026-04-21")
    ((lot,), (pair,)) = (trace.lots, trace.deliveries())
    assert (lot.facts.lot, lot.facts.seed_lots, lot.facts.crop) == (LOT, ("S-1", "S-2"), "Butterhead")
    assert (pair[1].entry.customer, pair[1].entry.heads) == ("Harbour Table", 12)


def test_a_seed_lot_leads_forward_to_every_customer(farm, log):
    trace = trace_seed_lot(farm, log, "S-2")
    assert [lot.facts.lot for lot in trace.lots] == [LOT, "BUT-260309"]
    assert [(event.entry.customer, event.entry.heads) for _, event in trace.deliveries()] == [
        ("Harbour Table", 12),
        ("Ferry Pantry", 9),
    ]
    assert [lot.facts.lot for lot in trace_seed_lot(farm, log, "S-1").lots] == [LOT]


def test_a_lot_has_all_that_was_done_to_it_in_the_order_it_happened(farm, log):
    (lot,) = trace_lot(farm, log, LOT).lots
    assert [event.entry.what for event in lot.events] == [
        "sown",
        "moved",
        "moved",
        "lost",
        "treated",
        "cut",
        "delivered",
        "delivered",
    ]
    (treated,) = lot.of("treated")
    assert (treated.plants, treated.entry.product, treated.entry.who) == (68, "soap", "Ben")
    assert (lot.cut, lot.gone, lot.delivered, lot.standing) == ((36, 34), 2, 21, 32)
    assert lot.facts.cooler[0][1] == 34 - 21


def test_a_correction_is_shown_in_place_of_what_it_corrects(farm, log):
    (lot,) = trace_lot(farm, log, LOT).lots
    last = lot.events[-1]
    assert (last.entry.heads, last.number, last.root) == (9, last.entry.corrects + 1, last.entry.corrects)


def test_what_was_done_to_a_place_is_told_of_the_lots_that_stood_there_then(farm):
    log = tell(farm, [], *grown(), told("treated", 40, place="North trough 2", product="soap", days=3))
    log = tell(
        farm,
        log,
        told("discarded", 41, place="North trough 1"),
        told("closed", 42, place="North trough 1", until=on(43)),
    )
    (lot,) = trace_lot(farm, log, LOT).lots
    assert [event.entry.what for event in lot.events] == ["sown", "moved", "moved", "discarded"]
    assert (lot.events[-1].plants, lot.gone) == (70, 70)


@pytest.mark.parametrize(
    ("follow", "name", "known"),
    [
        (trace_delivery, "R1 2026-04-24", ("R1 2026-04-21",)),
        (trace_lot, "BUT-260316", (LOT, "BUT-260309")),
        (trace_seed_lot, "S-3", ("S-1", "S-2")),
    ],
)
def test_what_is_not_recorded_is_told_with_what_is(farm, log, follow, name, known):
    with pytest.raises(Untraced) as untraced:
        follow(farm, log, name)
    assert (untraced.value.name, untraced.value.known) == (name, known)
