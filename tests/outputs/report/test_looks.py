"""Drawings of a page: what is alike is written once, and each is shown as it was drawn for itself."""

import re
from xml.etree.ElementTree import fromstring

import pytest
from browser import page_of
from reports import example, weeks_of

from scheduler.outputs.drawings.palette import HATCHES, crop_styles
from scheduler.outputs.drawings.shelf import shelf_sheets
from scheduler.outputs.drawings.svg import Node
from scheduler.outputs.drawings.trough import trough_sheets
from scheduler.outputs.report.hatching import strokes
from scheduler.outputs.report.looks import Looks
from scheduler.outputs.report.page import style
from scheduler.plan.views.week import week_sheets

BOX = '<g transform="translate({x} 5)"><rect x="{left}" y="1" width="30" height="9" fill="#fff"/>' + (
    '<text x="{text}" y="8" font-size="9">BUT</text></g>'
)


def drawing(inside):
    return as_node(fromstring(f'<svg viewBox="0 0 100 20" width="100">{inside}</svg>'))


def as_node(element):
    inside = [each for each in (element.text, *map(as_node, element)) if each]
    return Node(element.tag, tuple(element.attrib.items()), tuple(inside))


def box(at, left=0.0):
    """Return a box that stands at ``at``, wherever its own corner is."""
    return BOX.format(x=at - left, left=left, text=left + 3)


def shown(*drawings):
    """Return the shared part of a page and its drawings."""
    looks = Looks({})
    taken = [looks.take(each) for each in drawings]
    return looks.shared(), [looks.written(each) for each in taken], looks.rules()


def test_a_box_that_stands_in_two_drawings_is_written_once():
    shared, (first, second), _ = shown(drawing(box(10)), drawing(box(40, left=20)))
    assert shared.count("<rect") == 1
    assert first.count("<rect") + second.count("<rect") == 0
    assert re.findall(r'<use href="#(\w+)" x="(\w+)" y="(\w+)"/>', first + second) == [
        ("l0", "10", "6"),
        ("l0", "40", "6"),
    ]
    assert 'id="l0"' in shared


def test_what_is_there_only_once_stays_in_its_drawing():
    shared, (only,), _ = shown(drawing(box(10)))
    assert shared == ""
    assert only.count("<rect") == 1
    assert 'transform="translate(10 6)"' in only


def test_numbers_that_were_rounded_where_they_stood_are_alike_again():
    shared, _, _ = shown(drawing(box(10.33, left=446.11)), drawing(box(40.66, left=535.34)))
    assert shared.count("<rect") == 1


def test_colours_and_letters_become_rules_and_nothing_but_them_does():
    _, (drawn,), rules = shown(drawing(box(10) + '<rect x="1" y="2" width="3" fill="url(#a)"/>'))
    assert rules == ".k0{fill:#fff}.k1{font-size:9px}"
    assert 'fill="url(#a)"' in drawn


def test_text_stays_text_and_titles_are_left_out():
    inside = "<g><title>T</title><text x='1' y='2'>&lt;b&gt; &amp; co</text></g>"
    _, (drawn,), _ = shown(drawing(inside))
    assert "&lt;b&gt; &amp; co" in drawn
    assert "title" not in drawn


def test_a_value_that_is_none_of_a_drawing_never_becomes_a_rule():
    evil = '<text x="1" y="2" fill="red}body{display:none">A</text>'
    _, (drawn,), rules = shown(drawing(evil))
    assert rules == ""
    assert 'fill="red}body{display:none"' in drawn


@pytest.mark.parametrize("hatch", HATCHES)
def test_strokes_of_a_hatch_stay_within_their_rectangle(hatch):
    path = strokes(hatch, 40.5, 13)
    assert bool(path) == bool(hatch)
    for x, y in re.findall(r"[ML](-?[\d.]+) (-?[\d.]+)", path):
        assert 0 <= float(x) <= 40.5
        assert 0 <= float(y) <= 13


def test_hatches_look_different_from_each_other():
    assert len({strokes(hatch, 30, 12) for hatch in HATCHES}) == len(HATCHES)


def test_a_shape_with_a_pattern_gets_strokes_in_its_place():
    farm, _ = example()
    styles = {each.number: each for each in crop_styles(farm).values()}
    looks = Looks(styles)
    number = next(number for number, each in styles.items() if each.hatch)
    taken = looks.take(
        drawing(f'<g><rect x="2" y="3" width="9" height="9" fill="url(#a-crop{number})"/></g>')
    )
    written = looks.written(taken)
    assert "url(" not in written
    assert "<path" in written


@pytest.mark.chromium
def test_a_drawing_of_the_page_looks_as_it_does_by_itself():
    farm, plan = example()
    day = next(d for w in week_sheets(weeks_of(farm, 16, 1), plan) for d in w.days if d.troughs and d.shelves)
    drawings = [
        *trough_sheets(farm, plan, day.troughs[0], day.day, tallest=None),
        *shelf_sheets(farm, plan, day.shelves[0], day.day, tallest=None),
    ]
    looks = Looks({each.number: each for each in crop_styles(farm).values()})
    taken = [looks.take(each) for each in drawings * 2]
    shared = looks.shared()
    page = "<!doctype html><meta charset='utf-8'><style>{}</style>{}<div>{}</div>"
    by_itself = [re.sub(r"<title>.*?</title>", "", str(each), flags=re.DOTALL) for each in drawings]
    texts = []
    for rules, ahead, inside in (
        ("", "", by_itself),
        (style() + looks.rules(), shared, [looks.written(each) for each in taken[:2]]),
    ):
        with page_of(page.format(rules, ahead, "".join(inside))) as opened:
            texts.append(opened.page.evaluate(PLACES))
    alone, together = texts
    assert len(alone) > 100
    assert [text for text, *_ in alone] == [text for text, *_ in together]
    for (_, *here), (_, *there) in zip(alone, together, strict=True):
        assert here == pytest.approx(there, abs=0.2)


PLACES = """() => {
  const found = [];
  for (const svg of document.querySelectorAll('svg:not(.shared)')) {
    const scale = svg.viewBox.baseVal.width / svg.getBoundingClientRect().width;
    const corner = svg.getBoundingClientRect();
    const walk = (node, x, y) => {
      if (node.tagName === 'use') {
        const look = document.querySelector(node.getAttribute('href'));
        for (const each of look.children)
          walk(each, x + +(node.getAttribute('x') || 0), y + +(node.getAttribute('y') || 0));
        return;
      }
      const moved = /translate\\((\\S+) (\\S+)\\)/.exec(node.getAttribute('transform') || '');
      if (moved) { x += +moved[1]; y += +moved[2]; }
      if (node.tagName === 'text')
        found.push([node.textContent, x + +node.getAttribute('x'), y + +node.getAttribute('y'),
                    parseFloat(getComputedStyle(node).fontSize)]);
      for (const each of node.children) walk(each, x, y);
    };
    walk(svg, 0, 0);
  }
  return found;
}"""
"""Every text of the drawings of a page, where it stands and how large it is, references followed."""


def test_the_drawings_are_sound_xml_with_references_that_exist():
    farm, plan = example()
    day = next(d.day for w in week_sheets(weeks_of(farm, 16, 1), plan) for d in w.days if d.troughs)
    looks = Looks({each.number: each for each in crop_styles(farm).values()})
    drawn = [trough_sheets(farm, plan, "North trough", at, tallest=None) for at in (day, day + 1)]
    taken = [looks.take(each) for (each,) in drawn]
    shared = looks.shared()
    names = set(re.findall(r'id="(\w+)"', shared))
    fromstring(shared)
    for each in map(looks.written, taken):
        fromstring(each)
        assert set(re.findall(r'href="#(\w+)"', each + shared)) <= names
    assert len(re.findall(r'id="(\w+)"', shared)) == len(names)
