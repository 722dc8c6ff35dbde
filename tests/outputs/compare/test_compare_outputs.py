"""A comparison on the screen, on paper and as a workbook."""

import io
import re
from dataclasses import replace
from html import unescape

import pytest
from compared import case, comparison, farm
from openpyxl import load_workbook
from reports import tables_of
from rich.console import Console

from scheduler.outputs.compare.lines import percent, signed
from scheduler.outputs.compare.page import compare_html
from scheduler.outputs.compare.screen import MOST_CASES, MOST_COUNTED, print_comparison
from scheduler.outputs.compare.sentences import doubt, sentences
from scheduler.outputs.compare.workbook import compare_workbook
from scheduler.outputs.screen import WIDTH
from scheduler.plan.carried import weighted_shortage
from scheduler.plan.layout.reasons import NOTHING_FULL
from scheduler.plan.views.compared import compared

CHANGES = [["add trough: trough East trough, from 2026-03-16"]]
HOSTILE = '=1+1 <b>East</b> & "\u05d1\u05e8" ]]>\x07 {{ farm }}'


@pytest.fixture(scope="module")
def found():
    return comparison()


@pytest.fixture(scope="module")
def page(found):
    return compare_html(found, CHANGES, "made in a test")


@pytest.fixture(scope="module")
def hostile(found):
    base, more = found.cases
    named = replace(base.farm, name=HOSTILE, currency="<i>")
    return compared([replace(base, farm=named), replace(more, name=HOSTILE)])


def screen(of):
    console = Console(file=io.StringIO(), width=120)
    print_comparison(console, of)
    return console.file.getvalue()


def test_the_screen_has_every_number_side_by_side_within_80_columns(found):
    told = screen(found)
    assert max(map(len, told.splitlines())) <= WIDTH
    base, more = found.totals
    assert re.search(
        rf"units delivered +{base.filled} +{more.filled} \(\+{more.filled - base.filled}\)", told
    )
    assert re.search(rf"units short +{base.missing} +{more.missing} \(-{base.missing - more.missing}\)", told)
    assert "Units short, farm by farm: as it is, a row more" in told
    assert "Slots or units in use on the fullest day of those there are, then on an average day." in " ".join(
        told.split()
    )
    for word in ("firm deliveries", "left of it (EUR)", "hours a week", "room on the water", "Trough"):
        assert word in told


@pytest.mark.parametrize("others", [MOST_CASES - 1, MOST_CASES, 2 * MOST_CASES])
def test_farms_that_do_not_fit_side_by_side_stand_below_beside_the_first_one(found, others):
    base, more = found.cases
    many = compared([base, *(replace(more, name=f"row {n}") for n in range(others))])
    told = screen(many)
    assert max(map(len, told.splitlines())) <= WIDTH
    wanted = [f"row {number}" for number in range(others)]
    heads = [line for line in told.splitlines() if re.match(r" {9} *as it is", line)]
    assert [re.split(r"  +", head.strip()) for head in heads] == [
        ["as it is", *wanted[at : at + MOST_CASES - 1]] for at in range(0, others, MOST_CASES - 1)
    ]
    assert told.count("left of it (EUR)") == len(heads)
    names, short = ["as it is", *wanted], " ".join(told.split()).split("Units short, farm by farm: ")[1:]
    parts = [", ".join(names[at : at + MOST_COUNTED]) for at in range(0, len(names), MOST_COUNTED)]
    assert [each.startswith(part) for each, part in zip(short, parts, strict=True)] == [True] * len(parts)
    assert f"row {others - 1}" in compare_html(many, CHANGES * others, "made")


def test_the_sentences_say_how_the_place_fills_and_when_it_pays(found):
    (said,) = sentences(found)
    told = " ".join(said)
    assert "Trough: 2 raft slots more from 16 Mar 2026, the first raft on " in told
    assert "the first cut on " in told
    assert "Its price of 20.00 EUR is " in told
    assert "Running costs of 0.70 EUR a week are taken off." in told
    (paid,) = [totals.paid_back for totals in found.totals if totals.paid_back]
    assert f": {float(paid.in_all) / 100:,.2f} EUR by 12 Apr 2026." in told


def test_a_plan_taken_over_from_another_farm_is_told(found):
    base, more = found.cases
    kept = "Its own search found nothing better than the plan of 'as it is', which is kept."
    longer = "What it would bring stays open, then: a longer search (--seconds) may find it."
    proven = tuple(replace(goal, status="proven") for goal in more.plan.goals)
    for goals in (proven, ()):
        taken = replace(more, found_on="as it is", plan=replace(more.plan, goals=goals))
        (said,) = sentences(compared([base, taken]))
        assert said[0] == kept
        assert (longer in said) is (goals == ())


def test_that_the_seconds_told_nothing_apart_is_said_only_where_no_farm_has_a_plan_of_its_own():
    base = case("as it is", farm())
    proven = [replace(goal, bound=goal.value, status="proven") for goal in base.plan.goals]
    sure = replace(base, plan=replace(base.plan, goals=tuple(proven)))
    open_ = [replace(goal, bound=None, status="best found") for goal in base.plan.goals]
    base = replace(base, plan=replace(base.plan, goals=tuple(open_)))
    # what is taken over has no goals of its own
    bare = replace(base.plan, goals=())
    same = replace(base, name="a row more", found_on="a row more", changed=True, plan=bare)
    taken = replace(same, found_on="as it is")
    few = "The seconds were too few to tell these farms apart: "
    more = "Give each farm more (--seconds)."
    unsure = "It is not proven that so much must be short: a longer search (--seconds) may fill more"
    told = doubt(compared([base, taken]))
    assert told.startswith(f"{few}all of them keep the plan found for 'as it is', and it is not proven")
    assert told.endswith(more)
    assert doubt(compared([base, same])).startswith(f"{few}all of their plans come to the same, ")
    less = replace(same, plan=replace(bare, cuts=bare.cuts[1:]))
    for cases in ([sure, taken], [base, less], [base]):
        assert doubt(compared(cases)).startswith(unsure)
    assert doubt(compared([sure, replace(sure, name="a row more")])) == ""
    joined = " ".join(screen(compared([base, taken])).split())
    assert told in joined
    assert told in unescape(compare_html(compared([base, taken]), [["add row"]], "made"))


@pytest.mark.parametrize(
    ("proven", "told"),
    [(None, True), (0, True), (1, False)],
    ids=["nothing is known", "as little may be short", "a little more must be short"],
)
def test_firm_deliveries_short_by_no_more_than_is_left_unproven_may_be_luck(found, proven, told):
    base, more = found.cases
    here = weighted_shortage(more.farm, more.plan)[0]
    assert here < weighted_shortage(base.farm, base.plan)[0]
    least = None if proven is None else here + proven
    (said,) = sentences(compared([replace(base, least=least), more]))
    less = (
        "Less of the firm deliveries is short than in the book as it is, by price and priority, but that may "
        "be the luck of the search: nothing proves that so much must be short there."
    )
    assert (less in said) is told
    (said,) = sentences(compared([replace(more, changed=False), replace(base, least=least, changed=True)]))
    assert (less.replace("Less", "More").replace("there.", "here.") in said) is told
    assert not any("luck" in line for line in sentences(compared([base, replace(base, name="same")]))[0])


def test_farms_may_be_held_against_one_with_changes_of_its_own():
    """A row more costs 20.00 and 0.70 a week; beside a farm that pays 15.00 and 0.20 of it that is 5.00."""
    base, more = comparison().cases
    first = replace(base, name="Orders", cost=1500, cost_per_week=20, changed=True)
    found = compared([first, base, more])
    assert found.totals[1].paid_back is None
    assert found.totals[2].paid_back.cost == 500
    said = sentences(found)
    assert said[0] == ["The book without what 'Orders' changes."]
    assert "Running costs of 0.50 EUR a week are taken off." in said[1]
    assert "held against &#39;Orders&#39;" in compare_html(found, [[], ["add row"]], "made")
    assert "Differences are held against 'Orders'" in screen(found)
    assert "it earns more than 'Orders'" in " ".join(said[1])
    assert "held against" not in screen(comparison())


def test_the_line_of_dates_ends_with_its_dates_where_nothing_else_is_to_be_said(found, page):
    assert '<p class="dates">What changes would bring, 2 March to 12 April 2026</p>' in page
    assert screen(found).splitlines()[0] == f"{found.farm.name}: Mon 2 Mar 2026 to Sun 12 Apr 2026"


def test_what_a_change_earns_is_more_than_what_it_is_held_against(found):
    (said,) = sentences(found)
    assert "on it earns more than the book as it is: " in " ".join(said)


def test_that_no_place_was_full_is_said_once(found):
    line = found.shorts[0]
    shorts = [replace(line, demand=f"D{n}", reasons=(NOTHING_FULL, "")) for n in range(3)]
    full = replace(line, demand="D9", reasons=("rows of Trough full 9 to 15 Mar 2026", ""))
    page = compare_html(replace(found, shorts=(*shorts, full)), CHANGES, "made")
    assert page.count(NOTHING_FULL) == 1
    assert f"Where no reason is given, {NOTHING_FULL}." in page
    assert "rows of Trough full 9 to 15 Mar 2026" in page
    assert NOTHING_FULL not in compare_html(replace(found, shorts=(full,)), CHANGES, "made")


def test_a_price_that_is_paid_back_says_when(found):
    base, more = found.cases
    (said,) = sentences(compared([base, replace(more, cost=1, cost_per_week=0)]))
    assert re.search(
        r"Its price of 0\.01 EUR is paid back by \d+ \w+ 2026, after \d+ weeks?\.", " ".join(said)
    )


def test_a_change_that_costs_more_than_it_brings_says_so():
    both = [case("as it is", farm()), case("heated", farm(), cost_per_week=500)]
    (said,) = sentences(compared(both))
    assert said[0] == "By 12 Apr 2026 it has cost 30.00 EUR more than it brought, its price not counted."


def test_the_page_holds_the_same_lines_the_charts_and_the_changes(found, page):
    rows = {row[0]: row[1:] for table in tables_of(page) for row in table}
    base, more = found.totals
    assert rows["units delivered"][0] == f"{base.filled}"
    heads = [totals.weeks[-1].heads for totals in found.totals]
    assert rows["Mon 6 Apr"][:2] == [str(each) for each in heads]
    assert page.count("<svg") == 3
    assert CHANGES[0][0] in page
    assert "made in a test" in page
    assert compare_html(found, CHANGES, "made in a test") == page


def test_nothing_on_the_page_runs_or_loads_and_names_never_become_markup(hostile):
    html = compare_html(hostile, [[HOSTILE]], "made")
    assert "<b>East" not in html
    assert "<i>" not in re.sub(r"<svg.*?</svg>", "", html, flags=re.DOTALL)
    assert not re.search(r"<(script|img|link|iframe|form)\b", html)
    assert not re.search(r'(?:src|href)="(?!#)', html)
    assert "\x07" not in html + screen(hostile)


def test_the_workbook_has_dates_and_numbers_and_text_is_never_a_formula(hostile):
    data = compare_workbook(hostile, [[HOSTILE]])
    assert compare_workbook(hostile, [[HOSTILE]]) == data
    book = load_workbook(io.BytesIO(data))
    assert book.sheetnames == ["compared", "told", "weeks", "short", "charts"]
    for sheet in book:
        for row in sheet.iter_rows():
            assert all(cell.data_type != "f" for cell in row)
    weeks = list(book["weeks"].iter_rows(values_only=True))
    assert [row[1] for row in weeks[1:]] == [week.filled for week in hostile.totals[0].weeks]
    net = hostile.totals[1].paid_back.net
    assert [row[-1] for row in weeks[1:]] == [pytest.approx(float(each) / 100, abs=0.006) for each in net]
    assert len(book["charts"]._charts) == 2  # noqa: SLF001


def test_a_share_is_full_only_when_it_is_and_a_change_has_its_sign():
    from fractions import Fraction

    assert [percent(Fraction(n, 1000)) for n in (0, 1, 500, 999, 1000)] == [
        "0 %",
        "under 1 %",
        "50 %",
        "99 %",
        "100 %",
    ]
    assert [signed(number) for number in (3, -3, 0)] == ["+3", "-3", "same"]


@pytest.mark.chromium
def test_the_page_asks_for_nothing_and_is_no_wider_than_its_window(page):
    from browser import PHONE, page_of

    with page_of(page) as opened:
        for width in (1200, PHONE):
            opened.page.set_viewport_size({"width": width, "height": 900})
            assert not opened.is_wider_than_its_window(), width
        assert (opened.outside, opened.errors) == ([], [])


@pytest.mark.chromium
def test_what_comes_by_week_begins_no_page_of_its_own_on_paper(page):
    from browser import pdf_texts, to_pdf

    pages = pdf_texts(to_pdf(page))
    (weekly,) = [page for page in pages if "and money left, in each week" in page]
    assert "How new places fill" in weekly
