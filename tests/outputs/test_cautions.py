"""Cautions: one source, every kind of work that needs one, and local rules have the last word."""

import pytest

from crops.published import table
from crops.rows import MARKS
from scheduler.outputs.cautions import LOCAL, caution_line, cautions, cautions_for
from scheduler.outputs.words import WORK

LIFT, POWER = "Wet rafts are heavy: lift with two.", "Keep plugs and cords away from the water."
SOAK = "Soak water spreads germs: clean tubs, fresh water each time."
GREENS = "Microgreens: only seed whose label tells of no treatment."
KNIVES, SEED = "Clean hands and clean knives.", "Treated seed: never for microgreens."


@pytest.mark.parametrize(
    ("work", "texts"),
    [
        ("order", {SEED}),
        ("soak", {SEED, SOAK}),
        ("sow", {SEED}),
        ("uncover", {POWER}),
        ("thin", {POWER}),
        ("transplant", {POWER}),
        ("raft", {LIFT, POWER}),
        ("cut", {LIFT, POWER, KNIVES}),
        ("lift", {LIFT, POWER}),
        ("discard", {LIFT}),
        ("deliver", set()),
        ("unheard of", set()),
    ],
)
def test_each_kind_of_work_has_its_cautions(work, texts):
    assert {caution.text for caution in cautions_for(work)} == texts


def test_cautions_stand_under_kinds_of_work_there_are():
    assert {work for caution in cautions() for work in caution.works} <= set(WORK)


@pytest.mark.parametrize("caution", cautions(), ids=lambda caution: caution.name)
def test_every_caution_ends_with_who_decides_and_says_how_its_source_was_seen(caution):
    assert caution.said.endswith(LOCAL)
    assert caution.in_full.endswith(LOCAL)
    assert caution.said.count(LOCAL) == caution.in_full.count(LOCAL) == 1
    assert caution.evidence in MARKS
    assert caution.source.title
    assert len(caution.text) <= 60  # one line on a phone


def test_a_mark_of_a_caution_is_never_stronger_than_that_of_its_source():
    strength = {mark: number for number, mark in enumerate(("READ", "READ-2", "MEMORY"))}
    for caution in cautions():
        assert strength[caution.evidence] >= strength[caution.source.evidence]


def test_a_line_has_each_caution_once_and_who_decides_at_its_end():
    assert caution_line("cut") == f"{LIFT} {POWER} {KNIVES} {LOCAL}"
    assert caution_line("deliver") == ""


def test_over_microgreens_what_their_seed_must_be_stands_in_place_of_the_word_on_treated_seed():
    assert [each.text for each in cautions_for("soak", greens=True)] == [GREENS, SOAK]
    assert caution_line("sow", greens=True) == f"{GREENS} {LOCAL}"
    assert caution_line("order", greens=True) == f"{SEED} {LOCAL}"
    assert cautions_for("cut", greens=True) == cautions_for("cut")


def test_the_reach_told_in_the_text_is_what_the_equation_leaves():
    (lift,) = [row for row in table("cautions") if row["caution"] == "lift"]
    assert f"{23 * 25 / 60:.1f} kg are left" in lift["more"]
