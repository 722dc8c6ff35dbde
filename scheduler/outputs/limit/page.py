"""A limit as one page of HTML to read and to print, and its tables as CSV; the page loads nothing."""

from collections.abc import Sequence

from markupsafe import Markup

from scheduler.farm.farm import Farm
from scheduler.outputs.guarded import csv_bytes
from scheduler.outputs.limit.charts import frontier_chart
from scheduler.outputs.limit.lines import (
    Grid,
    csv_rows,
    frontier_grid,
    frontier_sentences,
    grids,
    head,
    sentences,
    turning,
)
from scheduler.outputs.report.page import frame_of_page
from scheduler.outputs.report.say import own
from scheduler.outputs.templates import environment
from scheduler.plan.capacity import Frontier, Limit


def limit_files(
    farm: Farm, limit: Limit, asked: str, frontiers: Sequence[Frontier], made: str
) -> dict[str, bytes]:
    """Return file name -> contents: page, tables, and the picture of the frontiers if there are any."""
    files = {"limit.html": limit_html(farm, limit, asked, frontiers, made).encode()}
    files |= {name: csv_bytes(rows) for name, rows in csv_rows(limit, frontiers)}
    if frontiers:
        files["frontier.svg"] = frontier_chart(frontiers).encode()
    return files


def limit_html(farm: Farm, limit: Limit, asked: str, frontiers: Sequence[Frontier], made: str) -> str:
    """Return the page; ``asked`` says what the mix is, ``made`` how it was found."""
    return (
        environment("scheduler.outputs.limit")
        .get_template("limit.html.j2")
        .render(
            **frame_of_page(farm, "Limit"),
            head=own(head(farm, limit, asked)),
            sentences=[own(sentence) for sentence in sentences(limit)],
            grids=[_escaped(grid) for grid in grids(limit)],
            chart=Markup(frontier_chart(frontiers)) if frontiers else None,
            frontiers=[_frontier(each) for each in frontiers],
            made=made,
        )
    )


def _frontier(each: Frontier) -> tuple[dict[str, object], list[Markup]]:
    grid = _escaped(frontier_grid(each, turning(each)))
    return grid, [own(sentence) for sentence in frontier_sentences(each)]


def _escaped(grid: Grid) -> dict[str, object]:
    """Return a table with its first cells set apart, which are names of the grower."""
    return {
        "title": grid.title,
        "note": grid.note,
        "words": any(" " in row[-1] and not row[-1][:1].isdigit() for row in grid.rows),
        "headings": grid.headings,
        "rows": [(own(row[0]), [own(cell) for cell in row[1:]]) for row in grid.rows],
    }
