"""The season page: what is filled and short in words and numbers, and no name of a grower as markup."""

import re
from dataclasses import replace
from fractions import Fraction
from functools import cache

import pytest
from browser import PHONE, page_of, pdf_texts, to_pdf
from farms import delivery, make_crop, make_farm, target
from markupsafe import Markup
from plans import Batch, build
from reports import without_charts
from samples import demand, small_farm, small_plan

from scheduler.farm.supplies import Supply
from scheduler.outputs.cautions import LOCAL, cautions
from scheduler.outputs.report.back import back_context
from scheduler.outputs.report.page import HERE, style
from scheduler.outputs.report.season import season_context
from scheduler.outputs.templates import environment
from scheduler.plan.rows import GoalRow, SupplyRow

EVIL = "<img src=x onerror=alert(1)>"
PAGE = """<!doctype html><html lang="en"><head><meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>T</title><style>{style}</style></head>
<body><section class="season">{season}</section><section class="back">{back}</section></body></html>"""


def season_html(farm, plan):
    return environment(HERE).get_template("season.html.j2").render(page=season_context(farm, plan))


def back_html(farm, plan):
    return environment(HERE).get_template("back.html.j2").render(page=back_context(farm, plan))


def page_html(farm, plan):
    return PAGE.format(style=style(), season=season_html(farm, plan), back=back_html(farm, plan))


@cache
def pages(*names):
    """Return the pages with something in every part of them, made once for the same names."""
    return page_html(*a_season(*names))


@pytest.fixture
def no_charts():
    with without_charts():
        yield


def words(html):
    """Return the text of a page, without its charts."""
    html = re.sub(r"<svg.*?</svg>", " ", html, flags=re.DOTALL)
    return " ".join(Markup(re.sub(r"<[^>]+>", " ", html)).unescape().replace("\xa0", " ").split())


def with_demands(*rows):
    product = replace(next(iter(make_farm().products.values())), name="Leaf lettuce")
    farm = replace(small_farm(), products={"Leaf lettuce": product})
    return farm, small_plan(demands=rows, lots=(), cuts=(), seed=(), fills=(), hours=())


def a_season(name="Lettuce", customer="Harbour Table"):
    """A farm and plan with something in every part of the pages, all named by a grower."""
    demands = [
        delivery(name, 34, 9, customer=customer),
        delivery(name, 36, 4, customer=customer),
        target(name, 28, 3, order=customer),
    ]
    crop = replace(make_crop(name), card="lettuce_butterhead", variety=customer)
    farm = make_farm(days=42, demands=demands, crops=[crop], crew=60_00)
    supply = Supply(item=customer, kind="seed", crop=name)
    farm = replace(
        farm, currency="EUR", supplies=(supply,), raft_areas={"Trough": Fraction(3, 4)}, name=customer
    )
    plan = build(farm, Batch(crop=name), fills=[(f"{name} 34", f"{name[:3].upper()}-260302", 34, 9)])
    order = SupplyRow(
        item=customer,
        kind="seed",
        crop_or_product=name,
        order_by=-3,
        arrive_by=2,
        covers_until=40,
        needed=12,
        packs=1,
        amount=500,
        cost=1250,
        late=True,
    )
    goal = GoalRow(
        level=1, goal="firm deliveries short", value=3.0, unit="EUR", bound=None, status="best found"
    )
    short = tuple(replace(row, reason=customer) if row.state == "short" else row for row in plan.demands)
    return farm, replace(plan, supplies=(order,), goals=(goal,), demands=short)


@pytest.mark.usefixtures("no_charts")
def test_all_filled_is_said_in_the_first_line():
    said = words(season_html(*with_demands(demand("a", 1), demand("b", 2))))
    assert said.startswith("Season All 2 firm deliveries are filled.")
    assert "Nothing is short." in said


@pytest.mark.usefixtures("no_charts")
def test_what_is_short_and_what_is_out_of_reach_are_told_apart():
    page = season_context(
        *with_demands(
            demand("a", 1),
            demand("b", 2, state="short", filled=20, reason="North trough full"),
            demand("c", 3, state="too early", filled=0, reason="no sowing is ready"),
            demand("d", 4, firm=False),
        )
    )
    assert page.lead == (
        "1 of 3 firm deliveries are filled; 1 short, 4 units missing in all; "
        "1 too early or out of reach, which no new sowing can fill.",
        "Flexible deliveries: 1, filled.",
    )
    ((name, (short,)),) = page.shorts
    assert (name, short.day, short.missing) == ("Firm deliveries", "Wed 4 Mar", "4 of 24")
    assert (words(short.whom), words(short.product), words(short.reason)) == (
        "Harbour Table",
        "Leaf lettuce",
        "North trough full",
    )
    (early,) = page.early
    assert (early.deliveries, early.missing, early.days) == ("1", "24", "Thu 5 Mar")
    assert [week.marked for week in page.weeks] == [True, False, False, False]


@pytest.mark.usefixtures("no_charts")
def test_a_plan_without_any_order_says_so():
    said = words(season_html(*with_demands()))
    assert "No deliveries were asked for." in said
    assert "Nothing is short." in said


@pytest.mark.usefixtures("no_charts")
def test_days_of_another_year_carry_it():
    farm, plan = with_demands(demand("a", 27, state="short", filled=0))
    farm = replace(farm, calendar=replace(farm.calendar, first_day=farm.date_of(300)))
    ((_, (short,)),) = season_context(farm, plan).shorts
    assert short.day == "Sat 23 Jan 2027"


def test_the_back_pages_say_what_to_order_and_that_it_comes_late():
    (order,) = back_context(*a_season()).orders
    assert (order.day, order.packs, order.amount, order.cost) == (
        "Mon 2 Mar",
        "1 pack",
        "500 seeds",
        "12.50 EUR",
    )
    assert order.late == "comes late: it was to be ordered by Fri 27 Feb"


def test_the_line_of_a_lot_says_when_it_was_where_and_who_got_it():
    (lot,) = back_context(*a_season()).lots
    assert (lot.sown, lot.trays.units) == ("2 Mar", "1")
    assert (lot.boards.days, lot.boards.units) == ("12 Mar", "1")
    assert (lot.rafts.days, lot.rafts.units, words(lot.rafts.places)) == ("22 Mar", "2", "Trough 1")
    assert (lot.cut, lot.heads) == ("5 Apr", "12")
    assert words(lot.went) == "Harbour Table 9, not sold 3"


def test_figures_carry_their_marks_and_numbered_sources_without_addresses():
    page = back_context(*a_season())
    (card,) = page.cards
    origin = {line.label: line.origin for line in card.lines}
    assert origin["germination"] == "COMMON PRACTICE"
    assert {line.label: line.value for line in card.lines}["seeds in one cell"] == "1 seed"
    number = int(re.fullmatch(r"READ \[(\d+)\]", origin["days in propagation"])[1])
    assert dict((at, text) for at, text, _ in page.sources)[number].startswith("Both A.J.")
    assert "://" not in words(back_html(*a_season()))


def test_own_figures_are_marked_and_keep_the_card_s_beside_them():
    farm, plan = a_season()
    (name,) = farm.crops
    farm = replace(farm, crops={name: replace(farm.crops[name], own_figures=(("days_tray", "13"),))})
    (card,) = back_context(farm, plan).cards
    assert [(line.label, line.value, line.origin) for line in card.lines if line.mine] == [
        ("days in propagation", "13 days", "your own; card 12")
    ]


def test_every_caution_stands_there_in_full_and_the_weights_with_their_figures():
    said = words(back_html(*a_season()))
    for caution in cautions():
        assert " ".join(caution.in_full.split()) in said
    assert said.count(LOCAL) == len(cautions()) + 1
    assert "an estimate, in kg" in said
    assert "water that clings to the raft 1 (0.5 to 2) kg/m² " in said.replace(",", " ")
    assert "One person should lift at most about 7.6 kg this way" in said
    assert "roots and the water between them 0.5 (0.3 to 0.8) kg/kg" in said


def test_weights_are_told_in_pounds_where_the_book_counts_in_pounds():
    farm, plan = a_season()
    page = back_context(replace(farm, mass_unit="lb"), plan)
    assert (page.lifting.unit, page.lifting.limit) == ("lb", "16.9")
    (in_kg,), (in_lb,) = back_context(farm, plan).lifting.rafts, page.lifting.rafts
    assert float(in_lb.whole) == pytest.approx(float(in_kg.whole) / 0.45359237, abs=0.3)


def test_numbers_by_week_end_with_their_sum():
    heads, hours, _ = back_context(*a_season()).numbers
    assert heads.sum.cells == ("12", "12")
    assert sum(int(row.cells[-1] or 0) for row in heads.rows) == 12
    assert [words(head) for head in hours.heads][-1] == "Crew"


@pytest.mark.parametrize("bad", [EVIL, "</td></table><script>alert(1)</script>", '"onmouseover="alert(1)'])
def test_a_grower_s_text_is_never_markup(bad):
    html = pages(bad, bad)
    tags = re.sub(r">[^<]*", ">", html)
    assert "alert(1)" not in tags
    assert not re.search(r"<(img|script)\b", html)
    assert "alert(1)" in html  # it is there, as text


@pytest.mark.parametrize("name", ["\u202egnorw", "bell\x07 and \x00", "W" * 400])
def test_signs_that_steer_are_taken_out_and_long_names_stay(name):
    html = pages("Lettuce", name)
    assert not re.search("[\x00-\x08\u202a-\u202e]", html)


def test_the_pages_are_the_same_twice():
    assert page_html(*a_season()) == pages()


@pytest.mark.chromium
@pytest.mark.parametrize("name", ["Lettuce", EVIL, "W" * 400, "long name of a crop " * 12])
def test_the_pages_fit_a_phone_and_a_desk_and_ask_for_nothing(name):
    with page_of(pages(name, name)) as opened:
        for width in (1200, PHONE):
            opened.page.set_viewport_size({"width": width, "height": 900})
            assert not opened.is_wider_than_its_window(), width
    assert (opened.outside, opened.errors) == ([], [])


@pytest.mark.chromium
def test_printed_no_page_is_empty_and_charts_keep_their_fill():
    printed = pdf_texts(to_pdf(pages()))
    assert all(text.strip() for text in printed)
    assert "Harvest against orders" in printed[0]
    assert any("Crop figures and where they come from" in text for text in printed)
