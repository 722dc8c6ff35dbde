"""A comparison as one page of HTML to read and to print; it loads nothing and runs nothing."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from scheduler.farm.dates import period
from scheduler.farm.units import CENT
from scheduler.outputs.compare.charts import delivered_chart, filling_chart, gained_chart
from scheduler.outputs.compare.lines import blocks
from scheduler.outputs.compare.sentences import doubt, held_against, sentences
from scheduler.outputs.report.page import frame_of_page
from scheduler.outputs.report.say import own
from scheduler.outputs.templates import environment
from scheduler.outputs.words import day_in_text
from scheduler.plan.layout.reasons import NOTHING_FULL
from scheduler.plan.views.compared import Comparison, ShortLine
from scheduler.plan.words import done_word, sum_nouns

MOST_SHORTS = 60
"""Lines of deliveries that are short; the workbook has them all."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Graph:
    """One chart with its heading and what is to be known about it."""

    title: str
    svg: Markup
    caption: str


@dataclass(frozen=True, slots=True, kw_only=True)
class About:
    """One case but the first: what is changed, and what is to be said of it."""

    name: Markup
    changes: tuple[Markup, ...]
    sentences: tuple[Markup, ...]


def compare_html(comparison: Comparison, changes: Sequence[Sequence[str]], made: str) -> str:
    """Return the page.

    Args:
        comparison: the farms side by side.
        changes: for each case but the first, its changes as lines of text.
        made: how the plans were made, one line.
    """
    farm = comparison.farm
    return (
        environment("scheduler.outputs.compare")
        .get_template("compare.html.j2")
        .render(
            **frame_of_page(farm, "Comparison"),
            dates=period(farm.date_of(farm.today), farm.date_of(farm.calendar.days - 1)),
            against=own(against) if (against := held_against(comparison)) else "",
            names=[own(case.name) for case in comparison.cases],
            harvested=f"{sum_nouns(farm)} {done_word(farm)}".capitalize(),
            blocks=[
                (block, [(own(line.label), line.cells) for line in block.lines])
                for block in blocks(comparison)
            ],
            told=_told(comparison, changes),
            graphs=_graphs(comparison),
            shorts=[_short(comparison, line) for line in comparison.shorts[:MOST_SHORTS]],
            more=max(0, len(comparison.shorts) - MOST_SHORTS),
            doubt=doubt(comparison) if comparison.shorts else "",
            unsaid=UNSAID if any(map(_is_unsaid, comparison.shorts[:MOST_SHORTS])) else "",
            weeks=_weeks(comparison),
            made=made,
        )
    )


def _told(comparison: Comparison, changes: Sequence[Sequence[str]]) -> list[About]:
    """Return what is to be said of each case but the first."""
    return [
        About(
            name=own(case.name),
            changes=tuple(own(line) for line in lines),
            sentences=tuple(own(sentence) for sentence in said),
        )
        for case, lines, said in zip(comparison.cases[1:], changes, sentences(comparison), strict=True)
    ]


def _graphs(comparison: Comparison) -> list[Graph]:
    found = (
        ("Units delivered", delivered_chart(comparison), "Sale units of each week, targets included."),
        (
            "What a change has brought, less its price",
            gained_chart(comparison),
            "By the end of each week: what deliveries bring, less seed, filling, hours and running costs, "
            "more than without the change. A line that crosses nought and stays there has paid for itself.",
        ),
        (
            "How new places fill",
            filling_chart(comparison),
            "A new place is empty when it opens. Of a place that only grew, all its slots count.",
        ),
    )
    return [
        Graph(title=title, svg=Markup(svg), caption=caption)
        for title, svg, caption in found
        if svg is not None
    ]


UNSAID = f"Where no reason is given, {NOTHING_FULL}."


def _is_unsaid(line: ShortLine) -> bool:
    """Say whether nothing stood in the way of a delivery, which is told once for all of them."""
    return line.reason == NOTHING_FULL


def _short(comparison: Comparison, line: ShortLine) -> dict[str, object]:
    reason = "" if _is_unsaid(line) else line.reason
    return {
        "day": day_in_text(comparison.farm, line.day),
        "whom": own(line.customer or line.demand),
        "product": own(line.product),
        "missing": ["-" if each is None else f"{each:,}" for each in line.missing],
        "reason": own(reason),
    }


def _weeks(comparison: Comparison) -> list[dict[str, object]]:
    found: list[dict[str, object]] = []
    for number, (first, _) in enumerate(comparison.spans):
        weeks = [totals.weeks[number] for totals in comparison.totals]
        found.append(
            {
                "day": day_in_text(comparison.farm, first),
                "heads": [f"{week.heads:,}" for week in weeks],
                "left": [f"{round(week.left / CENT):,}" for week in weeks],
            }
        )
    return found
