"""Lines of JSON: each with its number in what is told, known again when they come a second time."""

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from recorded import LAST

from scheduler.book.faults import BookFaults, FaultLog
from scheduler.outputs.saved import open_plan
from scheduler.records.drafts import FIELDS
from scheduler.records.lines import told_in_lines
from scheduler.records.recording import judge
from scheduler.records.tasks import Tasks

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "alder-quay" / "plan"
SOWN = {"what": "sown", "crop": "Butterhead", "to": "Shelf A 1", "plants": 98, "when": "2026-03-02"}


@pytest.fixture(scope="module")
def tasks():
    return Tasks(*open_plan(EXAMPLE))


def read(*lines, tasks=None):
    log = FaultLog()
    text = "\n".join(line if isinstance(line, str) else json.dumps(line) for line in lines)
    told = told_in_lines(text.encode(), "a.jsonl", tasks, log)
    return told, [str(fault) for fault in log]


def test_lines_are_entries_and_blank_ones_are_left_out(farm):
    told, faults = read(SOWN, "", {**SOWN, "lot": "B-2", "op": "phone-7"})
    assert faults == []
    assert [each.op[:5] for each in told] == ["line ", "phone"]
    assert [each.lot for each in judge(farm, [], told, LAST).new] == ["BUT-260302", "B-2"]


def test_the_same_lines_have_the_same_names_and_doubled_ones_names_of_their_own():
    first, _ = read(SOWN, SOWN)
    again, _ = read(SOWN, SOWN, {**SOWN, "plants": 1})
    assert [each.op for each in first] == [each.op for each in again[:2]]
    assert len({each.op for each in again}) == 3


def test_the_order_of_the_words_does_not_matter():
    first, _ = read(SOWN)
    again, _ = read(dict(reversed(SOWN.items())))
    assert first[0].op == again[0].op


@pytest.mark.parametrize(
    ("line", "found"),
    [
        ("{", "text that is not JSON"),
        ("[1]", "'[1]'"),
        ('"x"', "'\"x\"'"),
        ('{"what": "sown", "what": "cut"}', "'what' twice"),
        ("[" * 4000, "text that is not JSON"),
        ("x" * 20_001, "20001 characters"),
    ],
)
def test_a_line_that_is_no_entry_is_told_with_its_number(line, found):
    told, (said,) = read(SOWN, line)
    assert len(told) == 1
    assert said.startswith(f"a.jsonl line 2: found {found}; expected ")


def test_a_field_that_is_wrong_is_told_with_line_and_name(farm):
    told, _ = read({**SOWN, "plants": "many"}, {**SOWN, "colour": "red"})
    with pytest.raises(BookFaults) as faults:
        judge(farm, [], told, LAST)
    assert [str(fault).split(":")[0] for fault in faults.value.faults] == [
        "a.jsonl line 1 plants",
        "a.jsonl line 2 colour",
    ]


@pytest.mark.parametrize("op", ["", 7, "x" * 101, "a\nb"])
def test_a_name_of_an_entry_is_short_text(op):
    _, (said,) = read({**SOWN, "op": op})
    assert said.startswith("a.jsonl line 1 op: found ")


def test_half_a_character_is_refused_in_its_field(farm):
    told, faults = read(
        '{"what": "sown", "crop": "\\ud800", "to": "Shelf A 1", "plants": 9, "when": "2026-03-02"}'
    )
    assert faults == []
    with pytest.raises(BookFaults) as found:
        judge(farm, [], told, LAST)
    assert [str(fault.place) for fault in found.value.faults] == ["a.jsonl line 1 crop"]


def test_letters_that_are_no_utf_8_and_huge_files_are_refused(monkeypatch):
    log = FaultLog()
    assert told_in_lines("é".encode("latin-1"), "a", None, log) == []
    monkeypatch.setattr("scheduler.records.lines.MOST_BYTES", 3)
    assert told_in_lines(b"four", "a", None, log) == []
    monkeypatch.setattr("scheduler.records.lines.MOST_LINES", 1)
    assert told_in_lines(b"\n\n", "a", None, log) == []
    assert [fault.code for fault in log] == ["bad-encoding", "too-large", "too-many-rows"]


def test_a_task_of_the_plan_is_told_by_its_key(tasks):
    key = next(key for key, task in tasks.by_key.items() if task.work == "sow")
    told, faults = read({"task": key, "counted": 20, "who": "Ana", "when": "2026-03-06"}, tasks=tasks)
    assert faults == []
    assert (told[0].given["plants"], told[0].given["what"]) == (20, "sown")


def test_what_is_wrong_with_a_task_is_told(tasks):
    wrong = ({"task": "sow X"}, {"task": "sow X", "plants": 3}, {"task": "sow X", "counted": True})
    _, faults = read(*wrong, tasks=tasks)
    assert [fault.split(";")[0] for fault in faults] == [
        "a.jsonl line 1 task: found 'sow X'",
        "a.jsonl line 2 task: found 'sow X'",
        "a.jsonl line 2 plants: found 'plants'",
        "a.jsonl line 3 task: found 'sow X'",
        "a.jsonl line 3 counted: found 'True'",
    ]
    _, (said,) = read({"task": "sow X"})
    assert said.endswith("expected --plan, the plan it stands in")


ANY = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats(allow_nan=False) | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(st.text(max_size=5), inner, max_size=2),
    max_leaves=4,
)
NAMES = st.sampled_from([*FIELDS, "task", "counted", "op"])
LINES = st.lists(st.dictionaries(NAMES | st.text(max_size=4), ANY, max_size=6), max_size=3)


@settings(max_examples=80, deadline=None)
@given(lines=LINES, data=st.binary(max_size=30))
def test_whatever_comes_is_taken_or_refused_in_words(farm, lines, data):
    told_in_lines(data, "x", None, FaultLog())
    told, _ = read(*lines)
    faults = []
    try:
        judge(farm, [], told, LAST)
    except BookFaults as refused:
        faults = refused.faults
    assert all(fault.found and fault.expected for fault in faults)


def test_only_line_feeds_and_carriage_returns_part_lines():
    # signs that JSON lets stand in text as they are, though Python takes them for the end of a line
    note = "a\u2028b\u0085c"
    lines = [json.dumps({**SOWN, "note": note}, ensure_ascii=False)] * 2
    log = FaultLog()
    told = told_in_lines("\r\n".join(lines).encode(), "a.jsonl", None, log)
    assert (len(told), list(log)) == (2, [])
    assert told[0].given["note"] == note
