"""Equipment owned and hours of the crew, day by day."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.units import CENT
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.audit.runs import runs_over
from scheduler.plan.rows import EquipmentRow
from scheduler.plan.tally import CHORE, equipment_use, hours


def equipment(ledger: Ledger) -> Iterator[AuditFault]:
    """Report runs of days on which more units are in use or being washed than are owned."""
    by_kind: dict[str, list[EquipmentRow]] = defaultdict(list)
    for row in equipment_use(ledger.farm, ledger.plan):
        by_kind[row.kind].append(row)
    for kind, rows in by_kind.items():
        busy = [row.in_use + row.washing for row in rows]
        for day, length, _, owned in runs_over(busy, [row.owned for row in rows]):
            lasting = f" for {length} days" if length > 1 else ""
            message = (
                f"{rows[day].in_use} in use and {rows[day].washing} being washed, {owned} owned{lasting}"
            )
            yield ledger.fault("equipment", kind, day, message)


def crew_hours(ledger: Ledger) -> Iterator[AuditFault]:
    """Report days from today on with more work than chores leave hours for; chores alone may be more."""
    crew = ledger.farm.crew
    if crew is None:
        return
    chores: dict[int, int] = defaultdict(int)
    for chore in ledger.farm.chores:
        chores[chore.day] += chore.minutes
    minutes: dict[int, int] = defaultdict(int)
    for row in hours(ledger.farm, ledger.plan):
        minutes[row.day] += 0 if row.work == CHORE else row.minutes
    for day, total in sorted(minutes.items()):
        left = max(0, crew.on(day) - chores[day])
        if day >= ledger.farm.today and total > left:
            of_chores = f" beside {chores[day] / CENT:.2f} of chores" if chores[day] else ""
            has = crew.on(day) / CENT
            message = f"{total / CENT:.2f} minutes of work{of_chores}, the crew has {has:.2f}"
            yield ledger.fault("hours", "crew", day, message)
