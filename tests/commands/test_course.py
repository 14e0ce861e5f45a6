from __future__ import annotations

from typing import TYPE_CHECKING
from xml.etree import ElementTree as ET

from coach.coaching.library import find_course
from commands.running import coach

if TYPE_CHECKING:
    from pathlib import Path


def begun(folder: Path) -> Path:
    course = folder / "mine"
    assert coach("course", "new", course).returncode == 0
    return course


def test_a_new_course_passes_the_check_without_a_warning(tmp_path: Path) -> None:
    ended = coach("course", "check", begun(tmp_path))
    assert ended.returncode == 0
    assert "no faults, 0 warnings" in ended.stdout


def test_a_folder_with_something_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("mine")
    ended = coach("course", "new", tmp_path)
    assert ended.returncode == 2
    assert [path.name for path in tmp_path.iterdir()] == ["notes.txt"]


def test_every_fault_is_named_with_file_and_line(tmp_path: Path) -> None:
    course = begun(tmp_path)
    first, second = sorted(course.glob("*.md"))[:2]
    first.write_text(first.read_text().replace("+++\n", '+++\nslott = "morning"\n', 1))
    second.write_text(second.read_text().replace("+++\n", '+++\nafter = ["nowhere"]\nafter_any = []\n', 1))
    ended = coach("course", "check", course)
    assert ended.returncode == 1
    assert f"{first.name}:2: " in ended.stdout
    assert second.name in ended.stdout
    assert ended.stderr == ""


def test_a_ramp_that_takes_too_long_is_refused(tmp_path: Path) -> None:
    course = begun(tmp_path)
    settings = course / "course.toml"
    settings.write_text(settings.read_text().replace("ramp_days = 21", "ramp_days = 1"))
    ended = coach("course", "check", course)
    assert ended.returncode == 1
    assert "by the end of day 1" in ended.stdout


def test_the_starter_lists_that_go_with_a_course_are_checked_too(tmp_path: Path) -> None:
    course = begun(tmp_path)
    lists = tmp_path / "areas"
    lists.mkdir()
    kitchen = lists / "01-kitchen.toml"
    task = '[[detail]]\ntitle = "Shelf"\nminutes = 8\ncaution = "laddr"\n'
    text = f'title = "Kitchen"\nwords = ["kitchen"]\n{task}'
    kitchen.write_text(text)
    ended = coach("course", "check", course)
    assert ended.returncode == 0
    assert (
        "warning: ../areas/kitchen: “Shelf”: there is no caution “laddr”; did you mean “ladder”?"
        in ended.stdout
    )
    kitchen.write_text(text.replace("8", "2000"))
    ended = coach("course", "check", course)
    assert ended.returncode == 1
    assert (
        "../areas/01-kitchen.toml:5: “detail.1.minutes” needs a whole number from 1 to 1440" in ended.stdout
    )


def test_texts_and_steps_beside_a_course_are_checked_with_it(tmp_path: Path) -> None:
    course = begun(tmp_path)
    for place in (tmp_path / "steady", course / "catalogue"):
        place.mkdir()
        (place / "01-a.md").write_text("+++\n+++\n")
    ended = coach("course", "check", course)
    assert ended.returncode == 1
    assert [line.split(":")[0] for line in ended.stdout.splitlines()] == [
        "catalogue/01-a.md",
        "catalogue/01-a.md",
        "../steady/01-a.md",
        "../steady/01-a.md",
        "Refused",
    ]


def test_a_folder_of_lessons_is_checked_whole(tmp_path: Path) -> None:
    course = begun(tmp_path)
    (course / "04-hall.md").write_text("+++\n+++\n# Hall\n")
    (tmp_path / "second").mkdir()
    (tmp_path / "cautions.toml").write_text("[heat]\n")
    for name in ("catalogue", "returning", "steady"):
        (tmp_path / name).mkdir()
        (tmp_path / name / "01-a.md").write_text("+++\n+++\n# A\n")
    (tmp_path / "areas").mkdir()
    (tmp_path / "areas" / "01-hall.toml").write_text("words = []\ndetail = []\n")
    (tmp_path / "second" / "course.toml").write_text("")
    ended = coach("course", "check", tmp_path)
    assert ended.returncode == 1
    assert {line.split(":")[0] for line in ended.stdout.splitlines()} == {
        "cautions.toml",
        "mine/04-hall.md",
        "second/course.toml",
        str(tmp_path / "second"),
        "catalogue/01-a.md",
        "returning/01-a.md",
        "steady/01-a.md",
        "areas/01-hall.toml",
        "Refused",
    }


def test_a_folder_of_lessons_without_faults_names_its_courses_and_its_doubts(tmp_path: Path) -> None:
    begun(tmp_path)
    (tmp_path / "steady").mkdir()
    (tmp_path / "steady" / "01-a.md").write_text('+++\nwhen = "steady"\n+++\n# A\n\nShort.\n')
    ended = coach("course", "check", tmp_path)
    assert ended.returncode == 0
    assert ended.stdout.splitlines() == [
        "warning: steady/01-a.md:4: the lesson “A” has 1 word; 40 to 150 read well",
        "A calmer hall: 3 steps, no faults, 1 warning.",
    ]


def test_texts_alone_can_be_checked(tmp_path: Path) -> None:
    (tmp_path / "steady").mkdir()
    ended = coach("course", "check", tmp_path)
    assert ended.stdout == "Lessons without a course, no faults, 0 warnings.\n"


def test_a_step_that_is_left_out_is_named_beside_the_fault_it_causes(tmp_path: Path) -> None:
    course = begun(tmp_path)
    (course / "01-shoes-in-row.md").rename(course / "01-shoes-in-row.txt")
    ended = coach("course", "check", course)
    assert ended.returncode == 1
    assert "warning: 01-shoes-in-row.txt:1: this begins like a lesson file" in ended.stdout


def test_no_folder_is_bad_arguments() -> None:
    assert coach("course", "check", "nowhere").returncode == 2


def test_the_table_says_when_steps_come_and_settle() -> None:
    lines = coach("course", "show").stdout.splitlines()
    assert lines[2].split()[0] == "bed-made"
    assert lines[2].endswith("day 1   day 3")
    assert [line.split()[0] for line in lines if "day 21" in line] == ["tomorrow-by-door"]


def test_below_it_stands_every_lesson_with_its_day() -> None:
    lines = coach("course", "show").stdout.splitlines()
    course = find_course("three-weeks")
    head = next(place for place, line in enumerate(lines) if line.startswith("day "))
    lessons = [line.split() for line in lines[head + 1 :]]
    assert lessons[0][:3] == ["1", "bed-made", "1"]
    assert {(step, int(number)) for _, step, number, *_ in lessons} == {
        (step.id, number) for step in course.steps for number in range(1, len(step.lessons) + 1)
    }
    assert [int(line[0]) for line in lessons] == sorted({int(line[0]) for line in lessons})


def with_lessons(folder: Path, number: int) -> Path:
    """A new course whose first step has so many lessons."""
    course = begun(folder)
    path = course / "01-shoes-in-row.md"
    words = " ".join(["word"] * 50)
    lessons = "".join(f"# The {count}. lesson\n{words}\n" for count in range(1, number + 1))
    front = path.read_text(encoding="utf-8").split("+++\n")[1]
    path.write_text(f"+++\n{front}+++\n{lessons}", encoding="utf-8")
    return course


def test_lessons_that_come_too_late_are_warned_of_in_their_places(tmp_path: Path) -> None:
    course = with_lessons(tmp_path, 91)
    checked, shown = coach("course", "check", course), coach("course", "show", course)
    assert checked.returncode == shown.returncode == 0
    reason = "lesson 91, “The 91. lesson”, has not come by day 90"
    assert reason in checked.stdout
    place = next(line for line in checked.stdout.splitlines() if reason in line).split(":")[2]
    file = (course / "01-shoes-in-row.md").read_text(encoding="utf-8").splitlines()
    assert file[int(place) - 1] == "# The 91. lesson"
    assert "warning: shoes-in-row: lesson 91, “The 91. lesson”, has not come by day 90." in shown.stdout


def test_the_picture_is_an_svg_with_every_step(tmp_path: Path) -> None:
    picture = tmp_path / "path.svg"
    assert coach("course", "draw", picture).returncode == 0
    root = ET.parse(picture).getroot()  # noqa: S314  our own file
    space = "{http://www.w3.org/2000/svg}"
    assert root.tag == f"{space}svg"
    assert len(root.findall(f"{space}text")) == 13
