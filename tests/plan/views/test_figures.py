"""The figures of a crop and where they come from: the grower's own, a card's, or nobody's."""

from dataclasses import replace

from farms import make_crop, make_farm

from crops.library import card
from scheduler.plan.views.figures import crop_figures


def figures_of(crop):
    (found,) = crop_figures(make_farm(crops=[crop]))
    return {figure.label: figure for figure in found.figures}


def butterhead(**changes):
    return replace(make_crop("Butterhead"), card="lettuce_butterhead", **changes)


def test_a_figure_of_a_card_has_its_bounds_source_and_mark():
    shown, there = (
        figures_of(butterhead())["days in grow-out"],
        card("lettuce_butterhead").figures["days_raft"],
    )
    assert (shown.value, shown.low, shown.high) == (f"{there.typical:g}", f"{there.low:g}", f"{there.high:g}")
    assert (shown.unit, shown.mark, shown.source_id) == ("days", there.evidence, there.source_id)


def test_shares_of_a_card_are_told_in_percent_as_the_book_has_them():
    shown = figures_of(butterhead())["survive propagation"]
    assert (shown.value, shown.unit) == ("86", "percent")


def test_an_own_figure_is_marked_and_says_what_the_card_has():
    shown = figures_of(butterhead(own_figures=(("days_raft", "17"), ("plants_per_raft", "6"))))
    own = shown["days in grow-out"]
    assert (own.value, own.mark, own.source_id, own.of_card) == ("17", "OWN", "", "14")
    plants = shown["plants on one raft"]
    assert (plants.value, plants.mark, plants.of_card) == ("6", "OWN", "28 plants/m²")


def test_plants_worked_out_from_spacing_say_so_with_its_mark():
    shown = figures_of(butterhead())["plants on one raft, from 28 plants/m²"]
    spacing = card("lettuce_butterhead").figures["plants_per_m2_raft"]
    assert (shown.value, shown.mark, shown.source_id) == ("6", spacing.evidence, spacing.source_id)


def test_without_a_card_only_what_is_not_nothing_is_told():
    shown = figures_of(make_crop("Own", board=None))
    assert {label: (each.value, each.mark) for label, each in shown.items()} == {
        "seeds in one cell": ("1", "NONE"),
        "sold of these": ("100", "NONE"),
        "cuts": ("1", "NONE"),
        "plants on one raft": ("6", "NONE"),
    }


def test_what_changes_nothing_for_the_route_is_left_out():
    shown = figures_of(replace(make_crop("Basil", board=None), card="basil_genovese"))
    assert not [label for label in shown if "board" in label]
    assert "days between cuts" not in shown
    again = figures_of(replace(make_crop("Basil", board=None, cuts=3, interval=7), card="basil_genovese"))
    assert "days between cuts" in again
