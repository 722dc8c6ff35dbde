"""Records as a Markdown table."""

from collections.abc import Iterable

from .families import Case
from .record import Record

HEADINGS = (
    "farm",
    "who",
    "heads",
    "firm short",
    "over bound",
    "flexible short",
    "over bound",
    "cost",
    "over bound",
    "usable after",
    "all firm after",
    "took",
    "MB",
    "faults",
)

LEGEND = """\
Heads are those of all reported demand; short are heads that a plan leaves out of reported deliveries.
Over bound: (short - bound) / heads and (cost - bound) / cost; no plan can pass the bound, which is that of
fractional plants, trays, boards and rafts without order in the rows, for the cost without lots and with no
more short than in that plan. Usable: no worse for firm demand than the hand rule with repair at its end.
Times are seconds, memory is the most of the whole process."""


def heading() -> str:
    """Return the first two lines of the table."""
    return f"{_line(HEADINGS)}\n{_line([':--', ':--', *('--:' for _ in HEADINGS[2:])])}"


def line_of(case: Case, record: Record, reference: float | None) -> str:
    """Return one record as a line; ``reference`` is the firm shortage from which a plan is usable."""
    end = [
        _when(record.trace, reference),
        _when(record.trace, 0.0),
        f"{record.took:.1f}",
        f"{record.memory:,}",
    ]
    score, limits = record.score, record.bounds
    if score is None:
        return _line([case.name, record.contender, "", "no plan", *("" for _ in HEADINGS[4:-5]), *end, ""])
    firm = limits.firm if limits else None
    flexible = limits.flexible if limits else None
    cost = limits.cost if limits else None
    return _line(
        [
            case.name,
            record.contender,
            f"{score.ordered:,}",
            f"{score.short_firm:,}",
            _over(score.short_firm, firm, score.ordered),
            f"{score.short_flexible:,}",
            _over(score.short_flexible, flexible, score.ordered),
            f"{score.cost:,.0f}",
            _over(score.cost, cost, score.cost),
            *end,
            str(score.faults),
        ]
    )


def _line(cells: Iterable[str]) -> str:
    return f"| {' | '.join(cells)} |"


def _over(value: float, bound: float | None, whole: float) -> str:
    if bound is None or not whole:
        return ""
    return f"{100 * (value - bound) / whole:.1f} %"


def _when(trace: list[tuple[float, float]], wanted: float | None) -> str:
    """Return when the shortage first was as low as wanted."""
    if wanted is None:
        return ""
    return next((f"{seconds:.1f}" for seconds, value in trace if value <= wanted), "never")
