"""Sheets that go by week: sums of the whole farm, and the fullest day of every place."""

from collections.abc import Iterator, Sequence

from scheduler.farm.dates import dated
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.outputs.workbook.cells import Kind, Value
from scheduler.outputs.workbook.sheets import CLOSED, FULL, SHORT, Column, Mark, TableSheet
from scheduler.plan.rows import Plan
from scheduler.plan.views.fullest import Full, place_weeks, week_spans, weeks_full
from scheduler.plan.views.weeks import Week
from scheduler.plan.words import done_word, sum_nouns

KINDS = {
    PlaceKind.TIER: "tiers",
    PlaceKind.ZONE: "board zones",
    PlaceKind.LANE: "rows",
    PlaceKind.BED: "beds",
}
ONE_OF = {PlaceKind.TIER: "tier", PlaceKind.ZONE: "board zone", PlaceKind.LANE: "row", PlaceKind.BED: "bed"}

ORDERED, FILLED = "ordered (units)", "filled (units)"
MISSING, BEYOND = "short (units)", "too early or out of reach (units)"
WORK, CREW = "work (hours)", "crew has (hours)"

MOST_FORMS = 60
"""Different numbers of slots that are written behind a place's use: programs keep few number formats."""


def in_use(kind: PlaceKind) -> str:
    """Return the heading of the use of one kind of place."""
    return f"{KINDS[kind]} in use"


def weeks_sheet(farm: Farm, weeks: Sequence[Week]) -> TableSheet:
    """Return one row a week."""
    kinds = [kind for kind in PlaceKind if any(kind in week.use for week in weeks)]
    return TableSheet(
        name="weeks",
        title="The plan week by week",
        columns=_week_columns(farm, kinds),
        rows=[_week(farm, week, kinds) for week in weeks],
        empty="There is no week.",
        marks=(
            Mark(columns=(MISSING, MISSING), formula=f"{{{MISSING}}}>0", fill=SHORT),
            *(
                Mark(columns=(in_use(kind), in_use(kind)), formula=f"{{{in_use(kind)}}}>=1", fill=FULL)
                for kind in kinds
            ),
        ),
    )


def _week_columns(farm: Farm, kinds: Sequence[PlaceKind]) -> tuple[Column, ...]:
    used = "Slots in use on the fullest day of the week, as a part of those open."
    crew = (Column(heading=CREW, kind=Kind.HOURS),) if farm.crew is not None else ()
    return (
        Column(heading="week from", kind=Kind.DATE),
        Column(heading="to", kind=Kind.DATE),
        Column(heading="asked for", kind=Kind.WHOLE, note="Deliveries, and weeks of targets."),
        Column(heading="of these filled", kind=Kind.WHOLE),
        Column(heading=ORDERED, kind=Kind.WHOLE),
        Column(heading=FILLED, kind=Kind.WHOLE),
        Column(heading=MISSING, kind=Kind.SHORT),
        Column(
            heading=BEYOND,
            kind=Kind.WHOLE,
            note="Missing where it is too early for any sowing, or no harvest day lies near enough.",
        ),
        Column(heading="cells sown", kind=Kind.WHOLE, note="An open tray counts as one cell."),
        Column(heading="boards set", kind=Kind.WHOLE),
        Column(heading="rafts set", kind=Kind.WHOLE),
        Column(heading=f"{sum_nouns(farm)} {done_word(farm)}", kind=Kind.WHOLE),
        Column(heading=WORK, kind=Kind.HOURS),
        *crew,
        *(Column(heading=in_use(kind), kind=Kind.SHARE, note=used) for kind in kinds),
    )


def _week(farm: Farm, week: Week, kinds: Sequence[PlaceKind]) -> tuple[Value, ...]:
    """Return the cells of a week, in the order of :func:`_week_columns`."""
    return (
        farm.date_of(week.first),
        farm.date_of(week.last),
        week.deliveries,
        week.complete,
        week.ordered,
        week.filled,
        week.short,
        week.unreachable,
        week.cells,
        week.boards,
        week.rafts,
        week.heads,
        week.minutes,
        *((week.crew,) if farm.crew is not None else ()),
        *(_share(week.use.get(kind)) for kind in kinds),
    )


def _share(week: Full | None) -> float | None:
    return None if week is None else week.share


def places_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return a matrix: for every place and week the slots in use on its fullest day.

    The slots open on that day stand in folded columns at the right, which the colours look at. Where they
    are fewer than the place has, or all are in use, the number's own format says so in words.
    """
    use = place_weeks(farm, plan)
    labels = [dated(farm.date_of(first)) for first, _ in week_spans(farm)]
    opens = [f"{label} open" for label in labels]
    fixed = ("place", "part of", "kind", "slots", "weeks full")
    return TableSheet(
        name="places",
        title="Slots in use on the fullest day of each week",
        columns=(
            Column(heading=fixed[0], widest=28),
            Column(heading=fixed[1], widest=24),
            Column(heading=fixed[2]),
            Column(heading=fixed[3], kind=Kind.WHOLE, note="The most slots it has."),
            Column(heading=fixed[4], kind=Kind.WHOLE, note="Weeks with a day on which no slot is left."),
            *(Column(heading=label, kind=Kind.WHOLE, widest=12) for label in labels),
            *(Column(heading=each, kind=Kind.WHOLE, hidden=True) for each in opens),
        ),
        rows=[
            (
                place.name,
                place.belongs_to,
                ONE_OF[place.kind],
                place.slots.highest(),
                weeks_full(use[place.name]),
                *(_used(week) for week in use[place.name]),
                *(_open(week) for week in use[place.name]),
            )
            for place in farm.places
        ],
        empty="The farm has no places.",
        fixed=1,
        marks=_place_marks(labels, opens),
        forms=dict(_forms(farm, use, len(fixed))),
    )


def _place_marks(labels: Sequence[str], opens: Sequence[str]) -> tuple[Mark, ...]:
    """Return the colours of a week that is full and of one that is closed, from its slots in use and open."""
    used, slots = f"{{{labels[0]}}}", f"{{{opens[0]}}}"
    return (
        Mark(
            columns=(labels[0], labels[-1]),
            formula=f"AND(ISNUMBER({slots}),{slots}>0,{used}>={slots})",
            moves=True,
            fill=FULL,
        ),
        Mark(
            columns=(labels[0], labels[-1]),
            formula=f"AND(ISNUMBER({slots}),{slots}=0)",
            moves=True,
            look=CLOSED,
        ),
    )


def _used(week: Full | None) -> Value:
    return None if week is None else week.used


def _open(week: Full | None) -> Value:
    return None if week is None else week.there


def _forms(
    farm: Farm, use: dict[str, tuple[Full | None, ...]], before: int
) -> Iterator[tuple[tuple[int, int], str]]:
    """Yield (row, column) and the number format of cells that say more than a number."""
    numbers: set[int] = set()
    for row, place in enumerate(farm.places):
        for column, week in enumerate(use[place.name], start=before):
            if week is None:
                continue
            words = " full" if week.full else ""
            if week.there == 0:
                yield (row, column), '0;;"closed"'
                continue
            if week.there != place.slots.highest() and (week.there in numbers or len(numbers) < MOST_FORMS):
                numbers.add(week.there)
                words = f" of {week.there}{words}"
            if words:
                yield (row, column), f'0"{words}"'
