"""What ``raftway crops`` prints, to the letter."""

import json
import subprocess
import sys

import pytest
from click.testing import CliRunner, Result

from crops.library import Card, card, card_names
from scheduler.cli import crops_pages
from scheduler.cli.crops_command import crops

FLOWERS = """\
card                      group      stage days   total window keeps harvest
nasturtium                flower     18 + 34         52      2     7 picked
viola                     flower     49 + 21         70      2     7 picked

2 crops. Days from seed to first harvest, harvest window and keeping in days.
"""

RADISH = """\
Radish microgreens (micro_radish)
microgreen; tray; cut once; sold by: tray
untreated seed only; no sprouts

                       low typical high unit      mark and source
DAYS
sowing to emergence      1       2    3 d         COMMON PRACTICE
days in propagation      7       8   10 d         READ-2 msstate_micro_varieties
seed to first harvest    7       8   10 d         READ-2 msstate_micro_varieties
HARVEST
harvest window           1       2    3 d         ESTIMATE
cuts                     1       1    1 count     COMMON PRACTICE
SEED AND LOSSES
germination             92      96   98 percent   COMMON PRACTICE
legal minimum                   75      percent   READ cfr201_31
sold of these           85      95  100 percent   ESTIMATE
seed in one tray        25      40   80 g         ESTIMATE
HANDLING
soak before sowing       0       0    0 h         COMMON PRACTICE
days in the dark         2       2    3 d         COMMON PRACTICE
days under a dome        0       0    3 d         ESTIMATE
WORK
sow one tray             2       4    8 min       ESTIMATE
wash one unit            1       2    4 min       ESTIMATE
YIELD AND SALE
yield of one tray      150     230  350 g         ESTIMATE
KEEPING
keeps after cutting      7      14   21 d         ESTIMATE
keeping temperature      1       1    5 °C        READ xiao_2014
CLIMATE
best air temp.          18      21   24 °C        READ gropak
light in a day           5       8   12 mol/m²/d  COMMON PRACTICE

Marks
READ: read in the text of the publisher, agency, university or seed trade
READ-2: read in another party's copy or citation of the source
COMMON PRACTICE: usual in the trade, no single source
ESTIMATE: judgement, or a sum or transfer of other figures; replace it with your
own records

Weak figures (MEMORY or ESTIMATE): replace these first
harvest window, sold of these, seed in one tray, days under a dome, sow one
tray, wash one unit, yield of one tray, keeps after cutting

Sources
cfr201_31: US Department of Agriculture 1994. Federal Seed Act Regulations, 7
CFR 201.31 germination standards for vegetable seeds. 59 FR 64491. 7 CFR 201.31.
msstate_micro_varieties: Bachman G.R. Microgreen varieties for the Mississippi
gardener. Mississippi State University Extension.
gropak: Microgreen useful tips. South African packaging trade page.
https://www.gropak.co.za/pages/microgreen-useful-tips.
xiao_2014: Xiao Z. et al. 2014. Postharvest quality and shelf life of radish
microgreens. LWT Food Science and Technology 55:551-558.
radish_vermiculite: Broken radicles in radish microgreens. paper abstract.
"""

SIDE = """\
                      Genovese basil         Cilantro (coriander)   unit
route                 tray > raft            tray > raft
harvest               cut again              cut again
sowing to emergence   7 (6-7)                7 (5-10)               d
days in propagation   14 (14-21)             21 (14-28)             d
days in grow-out      21 (21-42)             28 (21-35)             d
seed to first harvest 35~ (35-63)            49~ (35-63)            d
may wait in the tray  4~ (2-6)               3~ (1-5)               d
harvest window        5~ (3-8)               5~ (3-8)               d
cuts                  4 (1-6)                2 (1-3)                count
days between cuts     28 (21-30)             21 (18-28)             d
in the tray           844                    844                    plants/m²
on the raft           16 (8-40)              38 (28-48)             plants/m²
seeds in one cell     3 (2-5)                5 (3-8)                count
germination           88 (80-95)             82 (70-92)             percent
survive propagation   95~ (88-98)            95~ (88-98)            percent
saleable off the raft 94~ (88-98)            92~ (85-97)            percent
sold of these         100~ (90-100)          100~ (90-100)          percent
soak before sowing    0                      0 (0-12)               h
days in the dark      0                      0                      d
days under a dome     7~ (3-7)               7~ (3-10)              d
thinned on day        0                      0                      d
sow one tray          8~ (4-15)              8~ (4-15)              min
plant one raft        2.2~ (1.5-3.6)         3.7~ (2.2-7)           min
cut one plant         0.5~ (0.25-1)          0.5~ (0.25-1)          min
wash one unit         2~ (1-4)               2~ (1-4)               min
yield of one plant    60~ (25-176)           35 (14-50)             g
yield of 1 m²         2 (1.8-2.84)           -                      kg/m²
plants a sale unit    1 (1-2)                2 (1-3)                count
mass of a sale unit   40 (28-85)             60 (40-85)             g
keeps after cutting   6 (4-7)                14 (14-21)             d
keeping temperature   10 (8-15)              0 (0-2)                °C
keeps at 0-5 °C       2 (1-3)                -                      d
best air temp.        25 (20-29)             20 (16-24)             °C
best water temp.      24 (20-27)             20 (17-22)             °C
bolts above           -                      26 (24-29)             °C
light in a day        15 (12-20)             14 (10-18)             mol/m²/d
pH                    6~ (5.5-6.5)           6.2 (5.8-6.7)          pH
EC                    1.7 (1.6-1.8)          1.7 (1.6-1.8)          mS/cm

~ from memory or an estimate; in brackets low-high; - not on that card.
"""

USAGE = "Usage: crops [OPTIONS] [CARD]...\nTry 'crops --help' for help.\n\nError: "


def run(*words: str) -> Result:
    return CliRunner().invoke(crops, words)


def listed(*words: str) -> list[str]:
    """Return the first word of each line of the list."""
    result = run(*words)
    assert result.exit_code == 0, result.output
    table = result.output.split("\n\n")[0].splitlines()
    return [line.split()[0] for line in table[1:]]


def test_a_list_has_one_line_for_each_crop() -> None:
    result = run("--group", "flower")
    assert (result.exit_code, result.output) == (0, FLOWERS)


def test_without_words_every_crop_is_listed_in_the_order_of_the_library() -> None:
    assert listed() == list(card_names())


def test_filters_work_together() -> None:
    assert listed("--route", "tray>raft", "--days-at-most", "28") == [
        "baby_leaf_mix",
        "spinach",
        "pak_choi_baby",
    ]
    assert "pak_choi_baby" not in listed("--days-at-most", "27"), "28 days from seed"


def test_a_list_may_be_sorted() -> None:
    assert listed("--group", "microgreen", "--sort", "days")[:3] == [
        "micro_radish",
        "micro_broccoli",
        "micro_mustard",
    ]
    assert listed("--group", "lettuce", "--sort", "keeping")[0] == "lettuce_summer_crisp"
    assert listed("--sort", "name") == sorted(card_names())


def test_a_list_may_be_empty() -> None:
    result = run("--days-at-most", "2")
    assert (result.exit_code, result.output) == (0, "No crop of the library is like that.\n")


def test_one_card_shows_every_figure_with_its_mark_weak_figures_and_sources() -> None:
    result = run("micro_radish")
    assert (result.exit_code, result.output) == (0, RADISH)


def test_crops_stand_side_by_side() -> None:
    result = run("basil_genovese", "cilantro")
    assert (result.exit_code, result.output) == (0, SIDE)


def test_a_card_tells_how_long_a_hole_is_held_and_what_100_plants_take() -> None:
    worked = run("lettuce_butterhead").output.split("Worked out from these figures\n")[1].split("\n\n")[0]
    assert worked.splitlines() == [
        "A raft hole is held 14 days, from setting the plant to the last cut.",
        "Setting 100 plants a week takes 7.1 m² of raft.",
        "For 100 to come up, sow 106 cells.",
        "Days until seed of lettuce comes up, half an inch deep: 7 at 10 °C, 4 at 15 °C,",
        "3 at 20 °C, 2 at 25 °C, 3 at 30 °C, none from 35 °C (Harrington & Minges 1954,",
        "seen in copies; days do not say how much of it comes up).",
    ]


def test_only_kinds_of_the_published_table_are_told_how_soon_they_come_up() -> None:
    assert "Days until seed of onion comes up" in run("scallion").output
    assert "Days until seed" not in run("basil_genovese").output


def test_notes_say_what_a_figure_holds_for() -> None:
    assert "days under a dome" in run("lettuce_butterhead").output
    assert "humidity lids on, from sowing" not in run("lettuce_butterhead").output
    assert (
        "days under a dome: humidity lids on, from sowing; low is covers off"
        in run("lettuce_butterhead", "--notes").output
    )


@pytest.mark.parametrize("words", [(), *((name, "--notes") for name in card_names())])
def test_no_line_is_wider_than_80_columns_or_ends_in_blanks(words: tuple[str, ...]) -> None:
    for line in run(*words).output.splitlines():
        assert len(line) <= 80
        assert line == line.rstrip()


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (
            ("celery_cuting",),
            'no crop card "celery_cuting"; did you mean celery_cutting?\n',
        ),
        (("dill", "--group", "herb"), "give crop cards or filters of the list, not both\n"),
        (("dill", "mint", "sage", "thyme", "chives"), "at most 4 crop cards fit side by side; name fewer\n"),
        (("--notes",), "--notes goes with one crop card; name just one\n"),
        (("dill", "mint", "--notes"), "--notes goes with one crop card; name just one\n"),
        (
            ("--route", "tray > pond"),
            "Invalid value for '--route': \"tray > pond\" is not a route; give one of "
            "tray, tray > raft, tray > board > raft, tray > bed\n",
        ),
        (("--days-at-most", "0"), "Invalid value for '--days-at-most': 0 is not in the range x>=1.\n"),
    ],
)
def test_a_wrong_command_line_is_said_and_ends_with_2(words: tuple[str, ...], message: str) -> None:
    result = run(*words)
    assert (result.exit_code, result.output) == (2, USAGE + message)


def test_a_card_named_twice_is_shown_once() -> None:
    assert run("dill", "dill").output == run("dill").output


def test_json_of_a_list_has_typical_values() -> None:
    rows = json.loads(run("--group", "flower", "--json").output)
    assert [row["name"] for row in rows] == ["nasturtium", "viola"]
    assert rows[1]["figures"]["days_tray"] == 49
    assert "sources" not in rows[1]


def test_json_of_named_crops_has_origins_and_sources() -> None:
    rows = json.loads(run("lettuce_butterhead", "--json").output)
    assert rows[0]["figures"]["days_raft"] == {
        "name": "days_raft",
        "low": 12.0,
        "typical": 14.0,
        "high": 21.0,
        "unit": "d",
        "conditions": "28 plants/m², DLI about 17",
        "source_id": "rutgers_both_lettuce",
        "evidence": "READ",
        "note": "bounds are common practice; 4 weeks from a 4-week-old plug in unlit winter",
    }
    assert rows[0]["sources"][0]["source_id"] == "rutgers_both_lettuce"


def test_square_brackets_in_a_card_are_printed_as_they_are() -> None:
    dill = card("dill")
    odd = Card(
        name="dill",
        title="[red]Dill[/red]",
        group="herb",
        route="tray > raft",
        harvest="[b]cut[/]",
        sale_pack="bunch",
        note="[link=x]",
        figures=dill.figures,
    )
    page = crops_pages.card_page(odd, notes=False, styled=False)
    assert page.startswith("[red]Dill[/red] (dill)\nherb; tray > raft; [b]cut[/]; sold by: bunch\n[link=x]\n")
    assert "[b]cut[/]" in crops_pages.listing([odd], styled=False)
    assert "[red]Dill[/red]" in crops_pages.side_by_side([odd, dill], styled=False)


def test_a_terminal_gets_bold_headings_and_a_pipe_gets_none(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.delenv("NO_COLOR", raising=False)
    assert "\x1b[1m" in crops_pages.listing([card("dill")], styled=True)
    monkeypatch.setenv("FORCE_COLOR", "1")
    assert "\x1b" not in crops_pages.listing([card("dill")], styled=False)


def test_rich_and_the_library_are_brought_in_only_when_it_runs() -> None:
    code = (
        "import sys, scheduler.cli.crops_command; "
        "raise SystemExit(bool({'rich', 'crops.library', 'pandas', 'ortools'} & set(sys.modules)))"
    )
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_one_crop_is_counted_as_one() -> None:
    assert run("--group", "herb", "--days-at-most", "35").output.endswith(
        "\n\n1 crop. Days from seed to first harvest, harvest window and keeping in days.\n"
    )
