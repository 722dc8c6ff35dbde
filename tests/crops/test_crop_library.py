"""The loader and the cards."""

import dataclasses
import subprocess
import sys
from collections import Counter

import pytest

from crops.library import card, card_names, cards, cards_called, figure_names, sources


def test_the_library_has_58_crops_in_six_groups() -> None:
    assert Counter(card.group for card in cards()) == {
        "lettuce": 8,
        "green": 18,
        "herb": 14,
        "flower": 2,
        "microgreen": 8,
        "bed crop": 8,
    }
    assert len(card_names()) == 58
    assert card_names()[0] == "lettuce_butterhead"
    assert [found.name for found in cards()] == list(card_names())


def test_a_card_gives_its_typical_values() -> None:
    butterhead = card("lettuce_butterhead")
    assert butterhead.title == "Butterhead lettuce"
    assert butterhead.route == "tray > board > raft"
    assert [butterhead.value(f"days_{stage}") for stage in ("tray", "board", "raft")] == [12, 10, 14]
    assert butterhead.value("days_bed") is None


def test_an_unknown_name_is_met_with_the_nearest_ones() -> None:
    with pytest.raises(LookupError) as caught:
        card("lettuce_buterhead")
    assert str(caught.value).startswith(
        'no crop card "lettuce_buterhead"; did you mean lettuce_butterhead or '
    )


def test_a_name_like_no_other_is_met_with_where_to_look() -> None:
    with pytest.raises(LookupError) as caught:
        card("zzz")
    assert str(caught.value) == 'no crop card "zzz"; `raftway crops` lists them'


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("Butterhead lettuce", ["lettuce_butterhead"]),
        ("butterhead", ["lettuce_butterhead"]),
        ("basil", ["basil_genovese", "basil_thai", "micro_basil"]),
        ("lettuce_batavia", ["lettuce_summer_crisp"]),
        ("Rocket, wild", ["arugula"]),
        ("lettuce from Ana", []),
        ("Sorrels", []),
        ("", []),
    ],
)
def test_a_card_is_found_by_its_title_or_the_words_it_begins_with(name: str, meant: list[str]) -> None:
    assert cards_called(name) == meant


def test_cards_cannot_be_changed() -> None:
    butterhead = card("lettuce_butterhead")
    with pytest.raises(dataclasses.FrozenInstanceError):
        butterhead.title = "Iceberg"  # type: ignore[misc]
    with pytest.raises(TypeError):
        butterhead.figures["days_tray"] = butterhead.figures["days_raft"]  # type: ignore[index]


def test_figures_stand_in_the_printed_order() -> None:
    order = list(figure_names())
    for found in cards():
        assert list(found.figures) == sorted(found.figures, key=order.index)


def test_sources_used_are_those_of_figures_and_of_their_notes() -> None:
    used = [source.source_id for source in card("lettuce_butterhead").sources_used()]
    assert "rutgers_both_lettuce" in used
    assert "ako_baker_2009" in used, "named only in the note of the raft spacing"
    assert "COMMON" not in used
    assert used == [key for key in sources() if key in used]


def test_weak_figures_are_named() -> None:
    weak = {figure.name for figure in card("lettuce_butterhead").weak_figures()}
    assert {"wait_tray", "harvest_window", "heads_per_case", "minutes_cut_plant"} <= weak
    assert not weak & {"days_tray", "days_board", "days_raft", "keeping_days"}


def test_a_citation_is_one_line_without_empty_parts() -> None:
    assert sources()["xiao_2014"].citation == (
        "Xiao Z. et al. 2014. Postharvest quality and shelf life of radish microgreens. "
        "LWT Food Science and Technology 55:551-558."
    )
    assert sources()["percent_normal_copy"].citation == (
        "Percent normal seedlings by temperature. farm page repeating the Harrington table."
    )


def test_on_paper_a_source_has_no_address_of_the_web_and_keeps_its_other_numbers() -> None:
    for source in sources().values():
        assert "://" not in source.on_paper
        if "://" not in source.address:
            assert source.on_paper == source.citation
    assert "://" in sources()["rutgers_both_lettuce"].citation
    assert sources()["rutgers_both_lettuce"].on_paper.endswith("Horticultural Engineering.")


def test_the_loader_brings_in_no_heavy_package() -> None:
    code = (
        "import sys, crops.library; crops.library.cards(); "
        "raise SystemExit(bool({'pandas', 'ortools', 'openpyxl', 'rich', 'click'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
