"""The first faults of a long file, in its order, and how many there are besides."""

from __future__ import annotations

from coach.errors import MOST_NAMED, Fault, Faults, FaultyFile
from coach.progress.csvform import read_log
from coach.progress.faults import LONGEST_REASON, FirstFaults
from coach.progress.log_check import check_log
from progress.living import a_course, on

HEADER = "date,what,step,value\n2027-01-04,start,bed,\n"


def test_those_that_stand_first_are_named_whatever_order_they_are_found_in() -> None:
    found = FirstFaults("log.csv")
    for line in reversed(range(2, 1002)):
        found.add(line, "wrong")
    named = found.found()
    assert [fault.line for fault in named] == list(range(2, 2 + MOST_NAMED))
    assert named.more == 1000 - MOST_NAMED


def test_one_that_is_found_late_and_stands_just_before_the_last_named_is_named() -> None:
    found = FirstFaults("log.csv")
    for line in (*range(1, 201, 2), 98, 101):
        found.add(line, "wrong")
    assert [fault.line for fault in found.found()] == [*range(1, 98, 2), 98]
    assert found.found().more == 52


def test_up_to_fifty_are_all_named() -> None:
    found = FirstFaults("log.csv")
    for line in range(2, 2 + MOST_NAMED):
        found.add(line, "wrong")
    assert (len(found.found()), found.found().more) == (MOST_NAMED, 0)


def test_one_without_a_line_stands_first() -> None:
    found = FirstFaults("log.csv")
    for line in (9, 1, None, 3):
        found.add(line, "wrong")
    assert [fault.line for fault in found.found()] == [None, 1, 3, 9]


def test_the_longest_reason_is_kept_whole() -> None:
    found = FirstFaults("log.csv")
    found.add(2, "x" * LONGEST_REASON)
    assert found.found()[0].reason == "x" * LONGEST_REASON


def test_a_reason_that_repeats_a_whole_cell_is_cut() -> None:
    log = read_log(f"{HEADER}2027-01-05,{'x' * 100_000},bed,\n")
    assert len(log.faults[0].reason) == LONGEST_REASON
    assert log.faults[0].reason.endswith("…")


def test_faults_of_reading_and_of_the_whole_are_counted_together() -> None:
    rows = "x\n" * 150 + "2027-01-05,kept,attic,\n" * 150
    faults = check_log(read_log(HEADER + rows), a_course("bed"), on(20))
    assert (len(faults), faults.more, FaultyFile(faults).count) == (50, 250, 300)


def test_a_few_faults_are_all_there_are() -> None:
    refused = FaultyFile((Fault("course.toml", None, "wrong"),))
    assert (refused.more, refused.count) == (0, 1)
    assert Faults() == ()


def test_a_line_too_long_to_be_a_row_is_a_fault() -> None:
    log = read_log(f"{HEADER}{',' * 1_000_001}\n")
    assert [fault.line for fault in log.faults] == [3]
    assert "a line of more than" in log.faults[0].reason


def test_the_longest_line_a_row_may_have_is_read_as_cells() -> None:
    log = read_log(f"{HEADER}{',' * 999_999}\n")
    assert "This row has 1000000 cells" in log.faults[0].reason
