"""The log as CSV (rules §7): written, read back, and every bad row named with its line."""

from __future__ import annotations

import pytest
from hypothesis import given

from coach.errors import Malformed
from coach.progress.csvform import CHUNK, read_log, text_of, write_log
from coach.progress.journal import Version
from coach.progress.log_check import check_log
from progress.living import a_course, a_step, on, row
from property.as_tables import as_rows
from property.log_strategies import Case, cases

COURSE = a_course("bed", a_step("cups", after=["bed"]))
TODAY = on(20)
HEADER = "date,what,step,value\n"
YEAR = "Check its year."


def read(*lines: str) -> list[str]:
    """The faults of a text with these rows, each as `line: reason`."""
    log = read_log(HEADER + "\n".join(lines))
    return [f"{fault.line}: {fault.reason}" for fault in log.faults]


def checked(*lines: str) -> list[str]:
    """Every fault of a log, of its rows and as a whole."""
    log = read_log(HEADER + "\n".join(lines))
    return [f"{fault.line}: {fault.reason}" for fault in check_log(log, COURSE, TODAY)]


@given(cases())
def test_what_is_written_is_read_back_row_by_row(case: Case) -> None:
    rows = as_rows(case.rows)
    log = read_log(write_log(rows))
    assert log.faults == ()
    assert list(log.rows) == rows


def test_a_log_is_written_with_its_header_and_quotes_where_they_are_needed() -> None:
    rows = [row(1, "start", "bed"), row(2, "adjust", "bed", '{"title": "Covers, straight"}')]
    assert write_log(rows).splitlines() == [
        "date,what,step,value",
        "2027-01-04,start,bed,",
        '2027-01-05,adjust,bed,"{""title"": ""Covers, straight""}"',
    ]


@pytest.mark.parametrize(
    "text",
    [
        "\ufeffdate,what,step,value\n2027-01-04,start,bed,\n",
        "date,what,step,value\r\n2027-01-04,start,bed,\r\n",
        " date , what , step , value \n\n 2027-01-04 , start , bed , \n\n",
        '"date","what","step","value"\n"2027-01-04","start","bed",""',
    ],
)
def test_files_from_other_programs_can_be_read(text: str) -> None:
    log = read_log(text)
    assert (log.faults, log.rows) == ((), (row(1, "start", "bed"),))


@pytest.mark.parametrize(
    "text", ["", "\n", "2027-01-04,start,bed,\n", "date;what;step;value\n", "date,what,step\n"]
)
def test_without_its_header_nothing_is_read(text: str) -> None:
    log = read_log(text)
    assert [str(fault) for fault in log.faults] == [
        "log.csv:1: The first line has to be “date,what,step,value”, with commas between."
    ]
    assert log.rows == ()


KINDS = (
    "start, kept, small, missed, excused, clear, pause, resume, set-aside, restore, next, minutes, pace, "
    "zone, day-starts, add, adjust"
)


@pytest.mark.parametrize(
    ("line", "reason"),
    [
        (
            "2027-01-05,kept,bed",
            "This row has 3 cells instead of 4. Put a value with commas in double quotes.",
        ),
        (
            "2027-01-05,kept,bed,,",
            "This row has 5 cells instead of 4. Put a value with commas in double quotes.",
        ),
        ("5.1.2027,kept,bed,", "“5.1.2027” is not a date. Write it as YYYY-MM-DD, such as 2027-01-04."),
        ("2027-02-30,kept,bed,", "“2027-02-30” is not a date. Write it as YYYY-MM-DD, such as 2027-01-04."),
        ("2027-01-05,done,bed,", f"“done” is no kind of row. Use one of: {KINDS}."),
        ("2027-01-05,KEPT,bed,", f"“KEPT” is no kind of row. Use one of: {KINDS}."),
        ("2027-01-05,kept,,", "A row of “kept” has to name its step."),
        ("2027-01-05,clear,,", "A row of “clear” has to name its step."),
        ("2027-01-05,set-aside,,", "A row of “set-aside” has to name its step."),
        ("2027-01-05,adjust,,{}", "A row of “adjust” has to name its step."),
        ("2027-01-05,pause,bed,", "A row of “pause” has no step; leave the third cell blank."),
        ("2027-01-05,zone,bed,UTC", "A row of “zone” has no step; leave the third cell blank."),
        ("2027-01-05,kept,bed,yes", "A row of “kept” has no value; leave the fourth cell blank."),
        ("2027-01-05,next,cups,soon", "A row of “next” has no value; leave the fourth cell blank."),
        ("2027-01-05,pause,,soon", "“soon” is not a date. Write it as YYYY-MM-DD, such as 2027-01-04."),
        ("2027-01-05,resume,,some", "“some” cannot be resumed with. Leave it blank, or write all or one."),
        (
            "2027-01-05,minutes,,ten",
            "“ten” is not a number of minutes from 0 to 1440. Leave it blank for none.",
        ),
        (
            "2027-01-05,minutes,,99999999",
            "“99999999” is not a number of minutes from 0 to 1440. Leave it blank for none.",
        ),
        (
            "2027-01-05,zone,,Lisbon",
            "There is no time zone “Lisbon”. Choose a name of the IANA list, such as Europe/Lisbon.",
        ),
        ("2027-01-05,pace,,", "A row of “pace” has to name a pace of the course, such as standard."),
        ("2027-01-05,pace,bed,gentle", "A row of “pace” has no step; leave the third cell blank."),
        ("2027-01-05,day-starts,,3", "“3” is not a time of day. Write it as HH:MM, such as 03:00."),
        ("2027-01-05,add,plants,Plants", "The value of “add” has to be a JSON object of the step's keys."),
        ("2027-01-05,add,plants,[]", "The value of “add” has to be a JSON object of the step's keys."),
        ("2027-01-05,add,plants,{}", "“title” is missing"),
        ("2027-01-05,adjust,bed,bed", "The value of “adjust” has to be a JSON object of the step's keys."),
        ('2027-01-05,adjust,bed,"{""waits"": false}"', "“waits” is not a key that is known here"),
    ],
)
def test_a_row_that_cannot_be_read_is_named_with_its_line_and_the_reason(line: str, reason: str) -> None:
    assert read("2027-01-04,start,bed,", line, "2027-01-05,kept,bed,") == [f"3: {reason}"]


def test_every_bad_row_is_named_and_every_good_one_read() -> None:
    log = read_log(
        HEADER + "2027-01-04,start,bed,\nx,kept,bed,\n\n2027-01-05,kept,bed,\n2027-01-06,done,bed,\n"
    )
    assert [fault.line for fault in log.faults] == [3, 6]
    assert tuple(log.lines) == (2, 5)


def test_a_row_over_several_lines_is_named_by_its_first() -> None:
    assert read("2027-01-04,start,bed,", '2027-01-05,adjust,bed,"{', '}"', "x,kept,bed,")[0].startswith("5: ")


@pytest.mark.parametrize(
    ("lines", "place"),
    [
        (["2027-01-04,start,bed,", '2027-01-05,adjust,bed,"{', "2027-01-06,kept,bed,"], 3),
        (["x,start,bed,", "y,kept,bed,", '2027-01-05,adjust,bed,"{"title": "x"}"'], 4),
        (['"2027-01-05'], 2),
    ],
)
def test_a_quote_that_does_not_close_is_named_by_the_line_on_which_it_opens(
    lines: list[str], place: int
) -> None:
    fault = read(*lines)[-1]
    assert fault.startswith(f"{place}: From here on this is no CSV: ")
    assert fault.endswith("Look for a double quote that is not closed, or not doubled inside a value.")


def test_a_cell_of_more_characters_than_a_cell_can_hold_is_a_fault_and_no_crash() -> None:
    assert len(read("2027-01-04,start,bed,", f"2027-01-05,adjust,bed,{'x' * 200_000}")) == 1


START = "2027-01-04,start,bed,"
PLANTS = '2027-01-06,add,plants,"{""title"": ""Plants""}"'


@pytest.mark.parametrize(
    ("lines", "faults"),
    [
        ([], ["None: A log has one row of “start”; this one has 0."]),
        ([START, "2027-01-05,start,bed,"], ["3: A log has one row of “start”; this one has 2."]),
        (
            ["0027-01-04,start,bed,"],
            ["2: The start on 0027-01-04 lies more than 100 years back. Check its year."],
        ),
        (
            ["1927-01-22,start,bed,"],
            ["2: The start on 1927-01-22 lies more than 100 years back. Check its year."],
        ),
        (["2027-01-04,start,cups,"], ["2: “cups” is no step to begin with. Choose one of: bed."]),
        (["2027-01-04,start,attic,"], ["2: “attic” is no step to begin with. Choose one of: bed."]),
        (["2027-01-04,start,bed,fast"], ["2: There is no pace “fast”. Choose one of: standard, gentle."]),
        ([START, "2027-01-05,pace,,fast"], ["3: There is no pace “fast”. Choose one of: standard, gentle."]),
        (["2027-01-03,pace,,fast", START], ["2: There is no pace “fast”. Choose one of: standard, gentle."]),
        ([START, "2027-01-03,kept,bed,"], ["3: This mark lies before the start on 2027-01-04."]),
        (
            [START, "2127-01-05,kept,bed,"],
            ["3: This mark on 2127-01-05 lies more than 100 years after the start on 2027-01-04. " + YEAR],
        ),
        (
            [START, "2027-01-05,kept,attic,"],
            ["3: There is no step “attic” on that date. Check its id, or add the step in an earlier row."],
        ),
        (
            [START, "2027-01-05,set-aside,plants,", PLANTS],
            ["3: There is no step “plants” on that date. Check its id, or add the step in an earlier row."],
        ),
        (
            [START, "2027-01-05,set-aside,attic,"],
            ["3: There is no step “attic” on that date. Check its id, or add the step in an earlier row."],
        ),
        ([START, PLANTS, PLANTS], ["4: There is a step “plants” already; choose another id."]),
        (
            [START, '2027-01-06,add,plants,"{""title"": ""Plants"", ""after"": [""attic""]}"'],
            ["3: “plants” comes after “attic”, which is no step on that date."],
        ),
    ],
)
def test_what_is_wrong_with_a_log_as_a_whole_is_named_too(lines: list[str], faults: list[str]) -> None:
    assert checked(*lines) == faults


def test_rows_that_cannot_be_read_hide_no_others_and_bring_no_faults_of_their_own() -> None:
    unreadable = '2027-01-05,add,plants,"{""title"": 3}"'
    found = checked(START, "2027-01-05,kept,attic,", unreadable, "2027-01-06,kept,plants,", "x,kept,bed,")
    assert [fault.split(":")[0] for fault in found] == ["3", "4", "6"]


def test_a_start_that_cannot_be_read_is_not_called_missing() -> None:
    assert checked("2027-01-32,start,bed,", "2027-01-05,kept,bed,") == [
        "2: “2027-01-32” is not a date. Write it as YYYY-MM-DD, such as 2027-01-04."
    ]


@pytest.mark.parametrize(
    "lines",
    [
        [START, "2027-01-06,kept,plants,", PLANTS],  # marks may stand before other rows of their date
        [START, "2027-01-05,kept,plants,", PLANTS],  # on a step not yet added they do nothing (rules §5.6)
        [START, "2027-01-04,kept,bed,", "2027-01-23,missed,cups,"],
        ["2027-01-02,zone,,Europe/Lisbon", "2027-01-04,start,,", "2027-03-01,pause,,2027-03-09"],
        [START, "2027-01-05,next,,", "2027-01-05,next,cups,"],
        [START, '2027-01-05,adjust,bed,"{""cue"": null}"'],
        [START, "2027-01-05,pace,,gentle", "2027-01-05,pace,,standard", "2027-02-05,pace,,gentle"],
        ["1927-01-23,start,bed,"],  # a hundred years back
        [START, "2027-01-24,kept,bed,", "2127-01-04,kept,cups,"],  # after today: a clock was ahead
        ["2027-01-30,start,bed,", "2027-01-30,kept,bed,"],
        [START, "2027-01-07,set-aside,plants,", PLANTS],  # later in effect, though earlier in the file
    ],
)
def test_a_log_that_keeps_the_rules_has_no_fault(lines: list[str]) -> None:
    assert checked(*lines) == []


def test_faults_come_in_the_order_of_the_file() -> None:
    faults = checked("2027-01-09,kept,attic,", START, "2027-01-05,kept,attic,")
    assert [fault.split(":")[0] for fault in faults] == ["2", "4"]


def test_a_log_adds_a_hundred_steps_at_most() -> None:
    adding = [PLANTS.replace("plants", f"plants-{number}") for number in range(101)]
    assert checked(START, *adding[:100]) == []
    assert checked(START, *adding) == ["103: A household can add 100 steps of its own; this is one more."]


def test_a_step_of_the_version_that_follows_can_be_decided_on_once_that_version_holds() -> None:
    versions = [Version(on(1), COURSE), Version(on(5), a_course("bed", "mat"))]
    log = read_log(f"{HEADER}{START}\n2027-01-07,set-aside,mat,\n2027-01-08,set-aside,mat,\n")
    faults = check_log(log, COURSE, TODAY, versions=versions)
    assert [fault.line for fault in faults] == [3]


def test_a_pace_is_known_from_the_version_that_brought_it_and_to_those_who_had_it() -> None:
    slow = a_course("bed", paces={"standard": 0, "slow": 3})
    versions = [Version(on(1), COURSE), Version(on(5), slow)]
    lines = [
        "2027-01-07,pace,,slow",
        "2027-01-08,pace,,slow",
        "2027-01-08,pace,,gentle",
        "2027-01-08,pace,,x",
    ]
    faults = check_log(read_log("\n".join([HEADER + START, *lines])), COURSE, TODAY, versions=versions)
    assert [f"{fault.line}: {fault.reason}" for fault in faults] == [
        "3: There is no pace “slow”. Choose one of: standard, gentle.",
        "6: There is no pace “x”. Choose one of: standard, slow.",
    ]


@pytest.mark.parametrize("text", ["é", "é," * CHUNK, "x" * (CHUNK - 1) + "é", "x" * CHUNK, "a\r\nb\n", ""])
def test_a_file_is_read_as_it_stands_however_long_it_is(text: str) -> None:
    assert text_of(text.encode()).read() == text
    assert text_of(b"\xef\xbb\xbf" + text.encode()).read() == text


@pytest.mark.parametrize(
    ("content", "line"),
    [
        (b"\xff", 1),
        (b"a\nb\n\xff", 3),
        (b"\n" * CHUNK + b"a\xff", CHUNK + 1),
        (b"x" * (CHUNK - 2) + "€".encode() + b"\xff\n\n", 1),  # a letter that two chunks share comes before
        (b"\n" + "é".encode()[:1], 2),  # a letter that is cut off
        (b"x" * (CHUNK - 1) + "é".encode()[:1], 1),
    ],
)
def test_the_line_that_is_not_utf_8_is_named(content: bytes, line: int) -> None:
    with pytest.raises(Malformed, match=f"^Line {line} of log.csv is not UTF-8"):
        text_of(content, "log.csv")


SIGNED = "date,what,step,value,by\r\n2027-01-04,kept,bed-made,,Ana\r\n2027-01-04,clear,bed-made,,\r\n"


def test_names_stand_in_a_fifth_column_that_nobody_reads() -> None:
    read = read_log(SIGNED)
    assert not read.faults
    assert write_log(read.rows, ["Ana", ""]) == SIGNED
    assert write_log(read.rows) == write_log(read.rows, ["", ""]) == write_log(read_log(SIGNED).rows)
    assert write_log(read.rows).startswith("date,what,step,value\r\n")


@pytest.mark.parametrize("name", ["=1+1", "+1", "-Ana", "@Ana"])
def test_a_name_is_no_formula_for_a_spreadsheet(name: str) -> None:
    rows = read_log(SIGNED).rows
    assert write_log(rows, [name, ""]) == SIGNED.replace("Ana", f"'{name}")


def test_a_row_has_as_many_cells_as_the_header() -> None:
    read = read_log("date,what,step,value,by\n2027-01-04,kept,bed-made,\n")
    assert [fault.reason for fault in read.faults] == [
        "This row has 4 cells instead of 5. Put a value with commas in double quotes."
    ]
