"""Charts: the right heights, the same bytes, nothing left behind in matplotlib, hostile names harmless."""

import json
import re
import subprocess
import sys
from dataclasses import replace
from functools import cache
from itertools import cycle
from xml.etree import ElementTree

import matplotlib
import pytest
from farms import delivery, make_crop, make_farm
from plans import Batch, build

from scheduler.farm.places import Steps
from scheduler.outputs import charts
from scheduler.outputs.charts import CHARTS, WORKS
from scheduler.outputs.drawings.palette import COLOURS, crop_styles
from scheduler.outputs.drawings.text import width_of
from scheduler.plan.rows import HoursRow
from scheduler.plan.tally import WORKS as COUNTED

SVG = "{http" + "://www.w3.org/2000/svg}"
HOSTILE = (
    "<script>alert(1)</script>",
    "</text></svg><b>bold",
    'name" id="x" onload="y',
    "=1+1",
    "$\\frac{1}{$",
    "_kept out of legends",
    "\u202eturned",
    "bell\x07and\x00nothing",
    "url(#other) ]]> &amp;",
    "名前 حروف 🌱",
    "long " * 60,
    " ",
)


def farm_of(*names, **needs):
    crops = [make_crop(name) for name in names or ("Lettuce",)]
    return make_farm(**({"days": 42, "crops": crops} | needs))


def plan_of(farm):
    batches = [Batch(crop=name, sown=0, rafts=(6, 6)) for name in list(farm.crops)[:6]]
    return build(farm, *batches)


def texts(svg):
    return [node.text for node in ElementTree.fromstring(svg).iter(f"{SVG}text")]


OTHER_PROCESS = """
import json, sys
sys.path[:0] = ['tests']
from farms import make_farm
from plans import Batch, build
from scheduler.outputs.charts import CHARTS
farm = make_farm(days=42)
json.dump({name: chart(farm, build(farm, Batch())) for name, chart in CHARTS.items()}, sys.stdout)
assert 'matplotlib.pyplot' not in sys.modules
"""
"""Pyplot would look for a screen."""


@cache
def plain(name):
    """A chart of a small farm, drawn once for all tests that look at it."""
    farm = farm_of()
    return CHARTS[name](farm, plan_of(farm))


@pytest.fixture(scope="module")
def elsewhere():
    """The charts of another process."""
    done = subprocess.run([sys.executable, "-c", OTHER_PROCESS], capture_output=True, check=True)
    return json.loads(done.stdout)


@pytest.mark.parametrize("name", CHARTS)
def test_the_same_plan_gives_the_same_bytes_in_another_process_too(name, elsewhere):
    farm = make_farm(days=42)
    assert CHARTS[name](farm, build(farm, Batch())) == elsewhere[name]


@pytest.mark.parametrize("name", CHARTS)
def test_settings_of_matplotlib_stay_as_they_were_and_do_not_get_in(name):
    farm = farm_of()
    first = plain(name)
    with matplotlib.rc_context({"font.size": 31, "svg.fonttype": "path", "axes.facecolor": "red"}):
        before = dict(matplotlib.rcParams)
        assert CHARTS[name](farm, plan_of(farm)) == first
        assert dict(matplotlib.rcParams) == before


@pytest.mark.parametrize("name", CHARTS)
def test_a_chart_is_one_element_that_names_nothing_outside(name):
    svg = plain(name)
    root = ElementTree.fromstring(svg)
    assert (root.tag, root.get("width"), root.get("role")) == (f"{SVG}svg", None, "img")
    assert root.get("aria-label")
    outside = set(re.findall(r"https?:[^\"'\s<]+", svg))
    assert all(address.startswith("http" + "://www.w3.org/") for address in outside)
    assert not list(root.iter(f"{SVG}style"))
    assert not list(root.iter(f"{SVG}metadata"))
    assert texts(svg)


def test_charts_of_one_page_share_no_id_and_each_reference_is_met():
    made = {name: plain(name) for name in CHARTS}
    ids = [each for svg in made.values() for each in re.findall(r'\bid="([^"]+)"', svg)]
    assert len(ids) == len(set(ids)) > len(CHARTS)
    for name, svg in made.items():
        own = set(re.findall(r'\bid="([^"]+)"', svg))
        used = set(re.findall(r"url\(#([^)]+)\)", svg)) | set(re.findall(r'href="#([^"]+)"', svg))
        assert used == own
        assert all(each.startswith(f"chart-{name}-") for each in own)


@cache
def usual_tags(name):
    """The elements of a chart of names that do no harm."""
    farm = farm_of("Other", "Lettuce")
    return {node.tag for node in ElementTree.fromstring(CHARTS[name](farm, plan_of(farm))).iter()}


@pytest.mark.parametrize("name", CHARTS)
@pytest.mark.parametrize("bad", [HOSTILE[:6], HOSTILE[6:]])
def test_a_hostile_name_is_only_text(name, bad):
    farm = farm_of(*bad, "Lettuce")
    owners = cycle(bad)
    farm = replace(farm, places=tuple(replace(place, belongs_to=next(owners)) for place in farm.places))
    svg = CHARTS[name](farm, plan_of(farm))
    assert {node.tag for node in ElementTree.fromstring(svg).iter()} <= usual_tags(name)
    assert "onload=" not in re.sub(r">[^<]*<", "><", svg)


def test_names_that_a_legend_would_leave_out_are_in_it():
    farm = farm_of("_hidden", "$5 mix")
    said = [text.strip() for text in texts(CHARTS["crops"](farm, plan_of(farm)))]
    assert {"_HI _hidden", "$5  $5 mix"} & set(said)
    assert any("_hidden" in text for text in said)
    assert any("$5 mix" in text for text in said)


def test_a_long_name_is_cut_short_and_ends_with_dots():
    farm = farm_of("Lettuce of the very long kind of name")
    said = texts(CHARTS["crops"](farm, plan_of(farm)))
    assert [text for text in said if text.endswith("...")]
    assert max(map(len, said)) <= 26


def heights(svg, colour):
    """Return the heights of the bars of one colour, in the chart's own measure."""
    found = []
    for node in ElementTree.fromstring(svg).iter(f"{SVG}path"):
        corners = re.findall(r"[ML] (-?[\d.]+) (-?[\d.]+)", node.get("d", ""))
        if f"fill: {colour.lower()}" in node.get("style", "").lower() and "Z" in node.get("d", "").upper():
            ys = [float(y) for _, y in corners]
            found.append(max(ys) - min(ys))
    return [height for height in found if height > 0]


def test_bars_stand_as_high_as_the_heads_they_are_for():
    farm = farm_of(demands=[delivery("Lettuce", 34, 12)])
    small, large = Batch(rafts=(6,), cuts=((28, 6),), boards=(6,)), Batch(sown=7, board_day=17, raft_day=27)
    plan = build(farm, small, replace(large, cuts=((41, 6),)))
    # the smallest of the three is the sign beside the name
    tall, half, _ = sorted(heights(CHARTS["crops"](farm, plan), COLOURS[0]), reverse=True)
    assert tall / half == pytest.approx(2, rel=0.01)


def test_many_bars_of_a_crop_are_one_shape_as_high_as_they_are(monkeypatch):
    farm = farm_of(demands=[delivery("Lettuce", 34, 12)])
    small, large = Batch(rafts=(6,), cuts=((28, 6),), boards=(6,)), Batch(sown=7, board_day=17, raft_day=27)
    plan = build(farm, small, replace(large, cuts=((41, 6),)))
    bars = CHARTS["crops"](farm, plan)
    monkeypatch.setattr(charts, "MOST_BARS", 1)
    steps = CHARTS["crops"](farm, plan)
    style = f'style="fill: {COLOURS[0].lower()}'
    assert steps.count(style) == 2 < bars.count(style)
    (shape,) = re.findall(rf'<path d="([^z"]*)" {style}', steps)
    tops = sorted({-float(y) for _, y in re.findall(r"[ML] (-?[\d.]+) (-?[\d.]+)", shape)})
    assert [top - tops[0] for top in tops[1:]] == pytest.approx(
        sorted(heights(bars, COLOURS[0]))[1:], abs=0.02
    )


def test_a_week_in_which_a_firm_delivery_is_short_is_marked():
    met = farm_of(demands=[delivery("Lettuce", 34, 10)])
    plan = build(met, Batch(), fills=[("Lettuce 34", "LET-260302", 34, 10)])
    assert "a firm delivery is short" not in texts(CHARTS["harvest"](met, plan))
    short = farm_of(demands=[delivery("Lettuce", 34, 13)])
    plan = build(short, Batch(), fills=[("Lettuce 34", "LET-260302", 34, 12)])
    assert "a firm delivery is short" in texts(CHARTS["harvest"](short, plan))


def test_a_limit_far_above_the_work_is_told_and_a_near_one_is_drawn():
    farm = farm_of()
    row = HoursRow(day=0, work="cut", minutes=300_00, crew=60_00)
    plan = replace(plan_of(farm), hours=(row,))
    near = replace(farm, crew=Steps(((-100, 60_00),)))
    assert "hours the crew has" in texts(CHARTS["hours"](near, plan))
    far = replace(farm, crew=Steps(((-100, 600_00),)))
    said = texts(CHARTS["hours"](far, plan))
    assert "hours the crew has" not in said
    assert "The crew has 70 hours a week, far above this chart." in said
    assert not [text for text in texts(CHARTS["hours"](farm, plan)) if "crew" in text]


def test_every_kind_of_work_that_hours_are_counted_for_has_its_look():
    assert list(WORKS) == list(COUNTED)
    assert len({look[1:] for look in WORKS.values()}) == len(WORKS)


def ends(svg, names):
    """Where names of a legend end, as shares of the width of the chart."""
    wide = float(ElementTree.fromstring(svg).get("viewBox").split()[2])
    return [
        (float(node.get("x")) + width_of(node.text, 8)) / wide
        for node in ElementTree.fromstring(svg).iter(f"{SVG}text")
        if node.text in names
    ]


def test_a_legend_of_many_names_or_long_ones_stays_within_its_chart():
    farm = farm_of(*(f"{letter}utterhead of the widest kind" for letter in "ABCDEF"))
    plan = plan_of(farm)
    names = [text for text in texts(CHARTS["crops"](farm, plan)) if "utterhead" in text]
    found = ends(CHARTS["crops"](farm, plan), names)
    assert len(found) == len(names) == 6
    assert max(found) < 1
    every = tuple(HoursRow(day=0, work=work, minutes=60_00, crew=None) for work in WORKS)
    names = [name for name, *_ in WORKS.values()]
    found = ends(CHARTS["hours"](farm, replace(plan, hours=every)), names)
    assert len(found) == len(names)
    assert max(found) < 1


def test_crops_are_told_apart_by_the_letters_of_the_drawings():
    farm = farm_of("Lettuce", "Basil")
    codes = [style.code for style in crop_styles(farm).values()]
    said = texts(CHARTS["crops"](farm, plan_of(farm)))
    assert [text for text in said if text.split()[0] in codes] == [f"{codes[0]} Lettuce", f"{codes[1]} Basil"]


@pytest.mark.parametrize("name", CHARTS)
def test_a_plan_without_anything_has_its_charts_too(name):
    farm = make_farm(days=1)
    assert texts(CHARTS[name](farm, build(farm)))
