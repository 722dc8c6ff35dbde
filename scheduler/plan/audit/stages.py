"""Stage days: how long plants stand in trays and on boards, at the pace of the places they stand in."""

from collections import Counter
from collections.abc import Iterator

from scheduler.farm.crops import Stage, StageKind
from scheduler.farm.units import MILLI
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import OVERDUE_GRACE, Ledger
from scheduler.plan.rows import ContentRow


def stage_days(ledger: Ledger) -> Iterator[AuditFault]:
    """Report contents of trays and boards that leave too early or too late, discarded plants set aside."""
    discarded = Counter({lot.lot: lot.discarded for lot in ledger.lots.values()})
    for row in ledger.plan.contents:
        if ledger.item(row) == ledger.crop_of(row.lot).finish.kind:
            continue  # how long it stands there is a matter of its cuts
        stage = ledger.crop_of(row.lot).stage(StageKind(ledger.item(row)))
        fault = None if stage is None else _judge(ledger, row, stage)
        if fault is None:
            continue
        thrown_away = ledger.is_growing(row.unit) and row.leaves == ledger.farm.today
        if thrown_away and discarded[row.lot] >= row.plants:
            discarded[row.lot] -= row.plants
        else:
            yield fault


def _judge(ledger: Ledger, row: ContentRow, stage: Stage) -> AuditFault | None:
    grown = ledger.grown(row.unit, row.enters, row.leaves)
    if grown is None:
        return None
    low, high, today = stage.days * MILLI, (stage.days + stage.wait) * MILLI, ledger.farm.today
    if ledger.is_overdue(row.unit, row.lot):
        last = today + OVERDUE_GRACE
        if row.leaves <= last:
            return None
        why = f"but was overdue and must leave by {ledger.farm.date_of(last)}"
    elif grown < low:
        why = f"but must stand {days(low)}"
    elif grown > high:
        why = f"but may stand {days(high)} at most"
    else:
        return None
    message = f"{row.plants} plants of {row.lot} leave {row.unit} after {days(grown)}, {why}"
    return ledger.fault("stage days", ledger.where(row), row.leaves, message)


def days(thousandths: int) -> str:
    """Write thousandths of a day as days: ``12 days``, ``11.5 days``."""
    text = f"{thousandths / MILLI:.3f}".rstrip("0").rstrip(".")
    return f"{text} days"
