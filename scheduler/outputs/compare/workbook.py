"""A comparison as a workbook: the lines of the page, numbers by week, and charts that follow them."""

from collections.abc import Sequence

from openpyxl import Workbook

from scheduler.book.to_xlsx import fixed_bytes
from scheduler.outputs.compare.lines import blocks
from scheduler.outputs.compare.sentences import sentences
from scheduler.outputs.compare.workbook_charts import write_charts
from scheduler.outputs.words import plain
from scheduler.outputs.workbook.book import LONGEST_TITLE, page_of
from scheduler.outputs.workbook.cells import Kind, Value
from scheduler.outputs.workbook.sheets import SHORT, Column, Mark, TableSheet, write_table_sheet
from scheduler.plan.views.compared import Comparison
from scheduler.plan.words import sum_nouns


def compare_workbook(comparison: Comparison, changes: Sequence[Sequence[str]]) -> bytes:
    """Return ``compare.xlsx``; the same comparison gives the same bytes.

    ``changes`` has the changes of each case but the first as lines of text.
    """
    farm, page = comparison.farm, page_of(comparison.farm)
    workbook = Workbook(write_only=True)
    weeks = weeks_sheet(comparison)
    for sheet in (_summary(comparison), _told(comparison, changes), weeks, _shorts(comparison)):
        write_table_sheet(workbook, sheet, page)
    write_charts(workbook, weeks, comparison, page)
    workbook.properties.title = f"Comparison of {plain(farm.name)[:LONGEST_TITLE]}"
    return fixed_bytes(workbook, farm.calendar.first_day)


def headings(comparison: Comparison, told: str) -> list[str]:
    """Return a heading for each case; numbered, so that no two are alike."""
    return [f"{told}: {number} {plain(case.name)}" for number, case in enumerate(comparison.cases)]


def _summary(comparison: Comparison) -> TableSheet:
    return TableSheet(
        name="compared",
        title="Side by side",
        columns=(
            Column(heading="part", widest=30),
            Column(heading="what", widest=34),
            *(Column(heading=name, widest=30) for name in headings(comparison, "farm")),
        ),
        rows=[(block.title, line.label, *line.cells) for block in blocks(comparison) for line in block.lines],
        empty="There is nothing to compare.",
        fixed=2,
    )


def _told(comparison: Comparison, changes: Sequence[Sequence[str]]) -> TableSheet:
    rows: list[Sequence[Value]] = []
    for case, lines, said in zip(comparison.cases[1:], changes, sentences(comparison), strict=True):
        rows += [(case.name, "changed", line) for line in lines]
        rows += [(case.name, "found", line) for line in said]
    return TableSheet(
        name="told",
        title="What is changed, and what it brings",
        columns=(
            Column(heading="case"),
            Column(heading="which"),
            Column(heading="in words", kind=Kind.LONG, widest=110),
        ),
        rows=rows,
        empty="Nothing is changed.",
    )


def weeks_sheet(comparison: Comparison) -> TableSheet:
    """Return one row a week: units, heads, money left and hours of each case, and what changes brought."""
    farm = comparison.farm
    columns = [Column(heading="week from", kind=Kind.DATE)]
    columns += [Column(heading=name, kind=Kind.WHOLE) for name in headings(comparison, "units")]
    columns += [Column(heading=name, kind=Kind.WHOLE) for name in headings(comparison, sum_nouns(farm))]
    columns += [Column(heading=name, kind=Kind.MONEY) for name in headings(comparison, "left")]
    columns += [Column(heading=name, kind=Kind.HOURS) for name in headings(comparison, "hours")]
    columns += [
        Column(heading=name, kind=Kind.MONEY, note="By the end of the week, its price taken off.")
        for name in headings(comparison, "gained")[1:]
    ]
    rows: list[Sequence[Value]] = []
    for number, (first, _) in enumerate(comparison.spans):
        weeks = [totals.weeks[number] for totals in comparison.totals]
        rows.append(
            (
                farm.date_of(first),
                *(week.filled for week in weeks),
                *(week.heads for week in weeks),
                *(round(week.left) for week in weeks),
                *(week.minutes for week in weeks),
                *(
                    round(totals.paid_back.net[number])
                    for totals in comparison.totals
                    if totals.paid_back is not None
                ),
            )
        )
    return TableSheet(
        name="weeks", title="Week by week", columns=tuple(columns), rows=rows, empty="There is no week."
    )


def _shorts(comparison: Comparison) -> TableSheet:
    missing = headings(comparison, "short")
    return TableSheet(
        name="short",
        title="What is short",
        columns=(
            Column(heading="day", kind=Kind.DATE),
            Column(heading="for", widest=30),
            Column(heading="product", widest=30),
            Column(heading="firm"),
            *(Column(heading=name, kind=Kind.SHORT) for name in missing),
            Column(heading="why, as far as the plans show", kind=Kind.LONG, widest=60),
        ),
        rows=[
            (
                comparison.farm.date_of(line.day),
                line.customer or line.demand,
                line.product,
                "yes" if line.firm else "no",
                *line.missing,
                line.reason,
            )
            for line in comparison.shorts
        ],
        empty="Nothing is short in any of them.",
        marks=tuple(Mark(columns=(name, name), formula=f"{{{name}}}>0", fill=SHORT) for name in missing),
    )
