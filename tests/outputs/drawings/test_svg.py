"""The builder of SVG: nothing a grower writes becomes markup, and numbers are written one way."""

import xml.etree.ElementTree as ET

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scheduler.outputs.drawings.svg import group, label, node, number, rect, referring, svg

ANYTHING = st.text(st.characters(exclude_categories=["Cs"]), max_size=40)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(text=ANYTHING)
def test_any_text_comes_back_as_text_where_it_can_be_printed(text):
    drawn = ET.fromstring(str(node("text", text, aria_label=text)))
    printable = "".join(s if s.isprintable() or s in "\n\u200e\u200f" else " " for s in text)
    assert (drawn.text or "") == printable
    assert len(drawn) == 0
    named = "".join(s if s.isprintable() else " " for s in text)
    assert drawn.get("aria-label", "") == named


def test_markup_in_a_text_is_written_with_references():
    assert str(label(1, 2, "<b>&")) == '<text x="1" y="2" font-size="10">&lt;b&gt;&amp;</text>'
    assert str(node("g", aria_label='"><script>')) == "<g aria-label='\"&gt;&lt;script&gt;'/>"


@pytest.mark.parametrize(
    ("value", "text"), [(1, "1"), (2.0, "2"), (0.126, "0.13"), (-0.001, "0"), (1e6, "1000000"), (3.10, "3.1")]
)
def test_numbers_have_two_decimals_at_most(value, text):
    assert number(value) == text


@pytest.mark.parametrize("name", ["a b", "", "x>", "1x", 'a"'])
def test_a_name_that_is_none_of_svg_is_refused(name):
    with pytest.raises(ValueError, match="no name"):
        node(name)
    with pytest.raises(ValueError, match="no name"):
        node("g", **{name or " ": "x"})


def test_attributes_that_are_empty_are_left_out_and_underscores_become_hyphens():
    assert str(rect(0, 0, 1, 2, stroke_width=1, stroke="")) == (
        '<rect x="0" y="0" width="1" height="2" stroke-width="1"/>'
    )


def test_references_are_renamed_at_any_depth_and_nothing_else_is():
    drawn = group([group([rect(0, 0, 1, 1, fill="url(#a-1)"), label(0, 0, "url(#a-1)")], 1)])
    assert str(referring(drawn, "a", "b")).count("url(#b-1)") == 1
    assert "url(#a-1)</text>" in str(referring(drawn, "a", "b"))


def test_a_drawing_stands_alone():
    drawn = ET.fromstring(str(svg((10, 20), "What it is", [], [rect(0, 0, 1, 1)])))
    assert (drawn.get("role"), drawn.get("aria-label"), drawn.get("viewBox")) == (
        "img",
        "What it is",
        "0 0 10 20",
    )
    assert drawn[0].text == "What it is"
