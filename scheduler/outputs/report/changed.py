"""What planning again has changed, ready for its template; nothing for a plan that was made from nothing."""

from dataclasses import dataclass

from markupsafe import Markup

from scheduler.farm.farm import Farm
from scheduler.outputs.happened.changes_page import HEADS, days_of, promised_lines, what_of
from scheduler.outputs.report.say import own
from scheduler.plan.rows import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Changed:
    """One thing that is otherwise than before."""

    day: str
    what: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class ChangedContext:
    """Groups of changes by what became of them, and what is said above them."""

    lead: tuple[str, ...]
    groups: tuple[tuple[str, tuple[Changed, ...]], ...]


def changed_context(farm: Farm, plan: Plan) -> ChangedContext:
    """Return the changes in the order of the terminal's page, all of them."""
    groups = []
    for change, said in HEADS.items():
        rows = tuple(
            Changed(day=days_of(farm, row), what=own(what_of(farm, row)))
            for row in plan.changes
            if row.change == change
        )
        if rows:
            groups.append((said, rows))
    lead = tuple(str(line) for line in promised_lines(farm, plan.changes)) if groups else ()
    return ChangedContext(lead=lead, groups=tuple(groups))
