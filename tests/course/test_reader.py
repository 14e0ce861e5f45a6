"""Reading folders of lessons that have no faults, and single faults that need a file system."""

from pathlib import Path

import pytest

from coach.course.model import Course, Hold, Lesson, Line, Return, Settles, Slot, Step, Strength
from coach.course.reader import TextFile, load_course, read_catalogue, read_cautions, read_course, read_texts
from coach.errors import FaultyFile
from course.course_folders import LESSON, course_folder, step_text

WHOLE = """\
why = "It is quick"
cue = "after getting up"
small = "Pull the covers straight"
slot = "morning"
minutes = 60
repeats = "FREQ=WEEKLY;BYDAY=SA"
after = ["first"]
after_any = ["first", "second"]
settles = { kept = 3, of = 4 }
waits = false
caution = "bleach"
lines = [{ title = "Vacuum", minutes = 50 }, { title = "Dust", minutes = 10 }]
stop_after = 60
"""
SETTINGS = """\
summary = "Short"
ramp_days = 30
at_once = 2
lapse_after = 5
hold = { at_least = 1, over = 3 }
return = { half_life = 7.5, good_day = 0.5 }
strength = { days_to_95 = 80, half_life_missed = 20 }
paces = { slow = 2 }
"""


def test_what_is_left_out_takes_the_values_of_the_rules(tmp_path: Path) -> None:
    course = load_course(course_folder(tmp_path, first=step_text()))
    lesson = Lesson("A lesson", "Some words.")
    assert course == Course("A course", (Step("first", "A step", lessons=(lesson,)),), digest=course.digest)


def test_every_key_of_a_step_is_read(tmp_path: Path) -> None:
    folder = course_folder(tmp_path, first=step_text(), second=step_text(), third=step_text(WHOLE))
    assert load_course(folder).steps[2] == Step(
        "third",
        "A step",
        why="It is quick",
        cue="after getting up",
        small="Pull the covers straight",
        slot=Slot.MORNING,
        minutes=60,
        repeats="FREQ=WEEKLY;BYDAY=SA",
        after=("first",),
        after_any=("first", "second"),
        settles=Settles(3, 4),
        waits=False,
        caution="bleach",
        lessons=(Lesson("A lesson", "Some words."),),
        lines=(Line("Vacuum", 50), Line("Dust", 10)),
        stop_after=60,
    )


def test_every_number_of_a_course_is_read(tmp_path: Path) -> None:
    course = load_course(course_folder(tmp_path, SETTINGS, first=step_text()))
    assert (course.summary, course.ramp_days, course.at_once, course.lapse_after) == ("Short", 30, 2, 5)
    assert (course.hold, course.returning) == (Hold(1, 3), Return(7.5, 0.5))
    assert (course.strength, course.paces) == (Strength(80, 20), {"standard": 0, "slow": 2})


@pytest.mark.parametrize(
    ("file", "step"),
    [
        ("02-bed-made.md", "bed-made"),
        ("bed-made.md", "bed-made"),
        ("002_bed.md", "bed"),
        ("7.md", "7"),
        ("2nd-shelf.md", "2nd-shelf"),
        ("10-20-minutes.md", "20-minutes"),
        ("01-Bed_made.MD", "Bed_made"),
    ],
)
def test_the_id_is_the_file_name_without_number_and_extension(tmp_path: Path, file: str, step: str) -> None:
    folder = course_folder(tmp_path)
    (folder / file).write_text(step_text(), encoding="utf-8")
    assert [found.id for found in load_course(folder).steps] == [step]


def test_the_course_order_is_the_order_of_file_names(tmp_path: Path) -> None:
    folder = course_folder(tmp_path)
    for file in ("10-c.md", "9-d.md", "01-b.md", "a.md"):
        (folder / file).write_text(step_text(), encoding="utf-8")
    assert [step.id for step in load_course(folder).steps] == ["b", "c", "d", "a"]


def test_only_markdown_files_that_are_not_hidden_are_steps(tmp_path: Path) -> None:
    folder = course_folder(tmp_path, first=step_text())
    (folder / "notes.txt").write_text("no step", encoding="utf-8")
    (folder / ".draft.md").write_text("no step", encoding="utf-8")
    (folder / "pictures").mkdir()
    assert [step.id for step in load_course(folder).steps] == ["first"]


def test_blank_texts_are_none(tmp_path: Path) -> None:
    course = load_course(course_folder(tmp_path, first=step_text('why = ""\ncaution = " "\n')))
    assert (course.steps[0].why, course.steps[0].caution) == (None, None)


def test_line_ends_and_a_byte_order_mark_change_nothing_but_the_digest(tmp_path: Path) -> None:
    text = step_text(lessons="# One\n\nWords.\n\n# Two\n\nMore\nwords.\n")
    plain = load_course(course_folder(tmp_path / "plain", first=text))
    folder = course_folder(tmp_path / "windows", first="")
    (folder / "01-first.md").write_bytes(b"\xef\xbb\xbf" + text.replace("\n", "\r\n").encode())
    windows = load_course(folder)
    assert windows.steps == plain.steps
    assert windows.digest != plain.digest


def test_the_digest_changes_with_a_name_or_a_byte_and_with_nothing_else(tmp_path: Path) -> None:
    first = load_course(course_folder(tmp_path / "a", one=step_text())).digest
    assert load_course(course_folder(tmp_path / "b", one=step_text())).digest == first
    assert load_course(course_folder(tmp_path / "c", two=step_text())).digest != first
    assert load_course(course_folder(tmp_path / "d", one=step_text(title="A stop"))).digest != first
    assert len(bytes.fromhex(first)) == 32


@pytest.mark.parametrize(
    ("name", "reason"), [("none", "No such file or directory"), ("file", "Not a directory")]
)
def test_a_folder_that_is_none_is_one_fault_with_its_reason(tmp_path: Path, name: str, reason: str) -> None:
    (tmp_path / "file").write_text("", encoding="utf-8")
    faults = read_course(tmp_path / name).faults
    assert [str(fault) for fault in faults] == [f"{tmp_path / name}: this folder cannot be read: {reason}"]


def test_bytes_that_are_not_utf8_are_a_fault_of_their_line(tmp_path: Path) -> None:
    folder = course_folder(tmp_path)
    (folder / "01-a.md").write_bytes(
        b'+++\ntitle = "A step"\ncue = "nach dem Fr\xfchst\xfcck"\n+++\n# A lesson\n'
    )
    assert [str(fault) for fault in read_course(folder).faults] == [
        "01-a.md:3: this line is not UTF-8; save the file with the encoding UTF-8"
    ]


def test_a_file_that_cannot_be_opened_is_a_fault_and_its_step_is_still_known(tmp_path: Path) -> None:
    folder = course_folder(tmp_path, first=step_text('after = ["gone"]\n'))
    (folder / "02-gone.md").symlink_to(folder / "nowhere")
    faults = read_course(folder).faults
    assert [str(fault) for fault in faults] == [
        "02-gone.md: this file cannot be read: No such file or directory"
    ]


def test_texts_are_read_with_what_they_are_for(tmp_path: Path) -> None:
    front = '+++\nwhen = "return"\nfrom_days = 14\nafter_pause = true\n+++\n'
    (tmp_path / "01-a.md").write_text(front + LESSON, encoding="utf-8")
    (tmp_path / "02-b.md").write_text('+++\nwhen = "steady"\n+++\n' + LESSON * 2, encoding="utf-8")
    lesson = Lesson("A lesson", "Some words.")
    assert read_texts(tmp_path) == (
        TextFile("return", 14, after_pause=True, lessons=(lesson,)),
        TextFile("steady", lessons=(lesson, lesson)),
    )


def test_texts_give_all_their_faults(tmp_path: Path) -> None:
    (tmp_path / "01-a.md").write_text('+++\nwhen = "later"\nfrom_days = -1\n+++\n', encoding="utf-8")
    (tmp_path / "02-b.md").write_text("+++\n+++\n" + LESSON, encoding="utf-8")
    with pytest.raises(FaultyFile) as raised:
        read_texts(tmp_path)
    assert [str(fault) for fault in raised.value.faults] == [
        "01-a.md:2: “when” needs one of return, rebuilding, missed, paused, steady, not “later”",
        "01-a.md:3: “from_days” needs a whole number from 0 to 100000, not -1",
        "01-a.md: there is no lesson; begin one with a heading “# ...”",
        "02-b.md: “when” is missing",
    ]


def test_a_catalogue_needs_no_graph_but_different_ids(tmp_path: Path) -> None:
    (tmp_path / "01-a.md").write_text(step_text('after = ["a-step-of-the-course"]\n'), encoding="utf-8")
    assert [step.id for step in read_catalogue(tmp_path)] == ["a"]
    (tmp_path / "02-a.md").write_text(step_text(), encoding="utf-8")
    with pytest.raises(FaultyFile, match=r"02-a\.md: the id “a” repeats: 01-a\.md has it already"):
        read_catalogue(tmp_path)


def test_cautions_are_read_by_key(tmp_path: Path) -> None:
    path = tmp_path / "cautions.toml"
    path.write_text('[heat]\ntitle = "Hot"\ntext = "Wait."\nsource = "A label"\n', encoding="utf-8")
    caution = read_cautions(path)["heat"]
    assert (caution.key, caution.title, caution.text, caution.source) == ("heat", "Hot", "Wait.", "A label")


def test_a_caution_without_source_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "cautions.toml"
    path.write_text('[heat]\ntitle = "Hot"\ntext = "Wait."\n\n[cold]\nwords = 1\n', encoding="utf-8")
    with pytest.raises(FaultyFile) as raised:
        read_cautions(path)
    assert [str(fault) for fault in raised.value.faults] == [
        "cautions.toml:1: “heat.source” is missing",
        "cautions.toml:6: “cold.words” is not a key that is known here",
        "cautions.toml:5: “cold.title” is missing",
        "cautions.toml:5: “cold.text” is missing",
        "cautions.toml:5: “cold.source” is missing",
    ]
