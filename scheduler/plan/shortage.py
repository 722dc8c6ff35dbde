"""Whether a plan leaves a grower short: one answer for the search, the command line and its exit codes."""

from scheduler.plan.rows import Plan


def is_short(plan: Plan) -> bool:
    """Say whether a reported firm delivery is short that a sowing could still reach."""
    return any(row.state == "short" and row.firm and not row.target and row.reported for row in plan.demands)
