"""``raftway show`` answers from a plan folder; a question it cannot answer ends with 2 and what there is."""

from datetime import date

import pytest
from folders import planned

from scheduler.cli import show_command
from scheduler.cli.main import run
from scheduler.outputs import everything
from scheduler.outputs.everything import Edition, write_plan


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(everything, "PAGES", {})
        folder = tmp_path_factory.mktemp("show")
        made = planned(folder)
        write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition())
    return folder / "plan"


@pytest.fixture(autouse=True)
def clock(monkeypatch):
    """The command line's day: Thursday, 23 April 2026."""

    class Clock(date):
        @classmethod
        def today(cls):
            return cls(2026, 4, 23)

    monkeypatch.setattr(show_command, "date", Clock)


@pytest.fixture
def ask(folder, capsys):
    def ask(*words):
        code = run(["show", str(folder), *words])
        told = capsys.readouterr()
        return code, told.out, told.err

    return ask


def test_without_a_question_it_lists_what_there_is(ask):
    code, out, err = ask()
    assert (code, err) == (0, "")
    assert out.startswith("Alder Quay Greens: Mon 2 Mar 2026 to ")
    assert "customer NAME   Harbour Table\n" in out


def test_a_name_of_several_words_needs_no_quotation_marks(ask):
    assert ask("customer", "Harbour", "Table") == ask("customer", "Harbour Table")
    code, out, _ = ask("customer", "harbour", "table", "--today", "2026-03-02")
    assert code == 0
    assert "Fri 24 Apr Butterhead head 12 filled " in out


def test_a_date_may_stand_behind_the_name_of_what_is_seen_on_a_day(ask):
    for words in (("lane", "North", "trough", "1"), ("customer", "Harbour Table"), ("crop", "Butterhead")):
        told = ask(*words, "2026-04-20")
        assert told == ask(*words, "--today", "2026-04-20")
        assert told[0] == 0
        assert told != ask(*words)
    assert "when the work of Mon 20 Apr 2026 is done" in ask("lane", "North trough 1", "2026-04-20")[1]
    both = ask("lane", "North trough 1", "2026-04-20", "--today", "2026-04-21")
    assert both[0] == 2
    assert "2026-04-20 and --today 2026-04-21: give one of the two" in both[2]
    assert ask("lane", "North trough 1", "2026-02-30")[0] == 2


def test_today_is_the_clock_s_unless_a_day_is_given(ask):
    assert ask("today")[1].startswith("Alder Quay Greens: Thu 23 Apr 2026\n")
    assert ask("today", "--today", "2026-03-05")[1].startswith("Alder Quay Greens: Thu 5 Mar 2026\n")
    assert ask("today", "--today", "2026-03-05") == ask("day", "2026-03-05")


def test_a_week_is_that_of_today_or_of_the_date(ask):
    assert "Mon 20 Apr 2026 to Sun 26 Apr 2026\n" in ask("week")[1]
    assert "Mon 2 Mar 2026 to Sun 8 Mar 2026\n" in ask("WEEK", "2026-03-04")[1]
    assert ask("week", "2026-03-04") == ask("week", "--today", "2026-03-04")


def test_before_or_after_the_plan_its_first_day_stands_in_for_today(ask, monkeypatch):
    monkeypatch.setattr(show_command, "date", type("Old", (date,), {"today": lambda: date(2031, 1, 1)}))
    assert "Mon 2 Mar 2026 to Sun 8 Mar 2026\n" in ask("week")[1]
    assert ask("customer", "Harbour Table")[1].startswith("Harbour Table, from Mon 2 Mar 2026\n")
    code, out, err = ask("today")
    assert (code, out) == (2, "")
    assert "2031-01-01 lies outside the plan, 2026-03-02 to " in err


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (("day",), "say which day, such as day 2026-03-09"),
        (("day", "2020-01-01"), "2020-01-01 lies outside the plan, 2026-03-02 to "),
        (("day", "9 March"), "takes one date"),
        (("day", "tomorrow"), "'tomorrow' is not a date; write it like 2026-03-02"),
        (("week", "--today", "2020-01-01"), "2020-01-01 lies outside the plan"),
        (("today", "2026-03-09"), "today stands alone"),
        (("day", "2026-03-09", "2026-03-10"), "day takes one date, such as day 2026-03-09"),
        (("short", "please"), "short stands alone"),
        (("crop",), "say which crop; raftway show PLAN lists what there is"),
        (("crop", "Butterhaed"), "no crop 'Butterhaed'; did you mean Butterhead? There is "),
        (("lot", "BUT-991231"), "no lot 'BUT-991231'; "),
        (("harbour", "table"), "say what 'Harbour Table' is: customer Harbour Table"),
        (("corp", "Basil"), "shown; did you mean 'crop Basil'? There is week, day, today, crop,"),
        (("weather",), "'weather' is nothing that can be shown; there is week, day, today, crop,"),
    ],
)
def test_a_question_that_cannot_be_answered_ends_with_2_and_says_what_can(ask, words, told):
    if words == ("day", "9 March"):
        words = ("day", "9", "March")
    code, out, err = ask(*words)
    assert (code, out) == (2, "")
    assert told in err


def test_every_page_of_a_real_plan_fits_80_columns(ask, folder):
    lot = (folder / "tables" / "lots.csv").read_text().splitlines()[1].split(",")[0]
    for words in ("", "week", "crop Butterhead", "lane North trough 1", f"lot {lot}", "short"):
        code, out, _ = ask(*words.split())
        assert code == 0
        assert max(map(len, out.splitlines())) <= 80
        assert "\x1b" not in out


def test_a_folder_that_is_no_plan_ends_with_1(tmp_path, capsys):
    assert run(["show", str(tmp_path), "week"]) == 1
    assert "a folder that raftway plan wrote" in capsys.readouterr().err
