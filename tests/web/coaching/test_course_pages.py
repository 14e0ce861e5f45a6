"""A group's course as its coach sees it: uploading, rewording, what changes, and from when it holds."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

import pytest

from coach.coaching.packed_courses import CourseFiles, checked_files, packed_course
from coach.course.packing import packed
from coach.ground.course_names import group_course
from coach.ground.groups import BY_NAME
from coaching.folders import STEP, hall
from web.coaching.valley import ANA, BEN, HOUSEHOLD, Valley

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

EVIL = '<script>alert(1)</script> & "quotes"'


@pytest.fixture
def valley(tmp_path: Path) -> Iterator[Valley]:
    house = Valley(tmp_path)
    yield house
    house.close()


def files(**more: str) -> CourseFiles:
    return checked_files("hall", {name: text.encode() for name, text in hall(**more).items()})


def upload(valley: Valley, content: bytes, name: str = "hall.zip") -> tuple[int, str, str]:
    with valley.asked_by(ANA):
        answer = valley.http.post(f"{valley.place}/course", files={"packed": (name, content)})
    return answer.status_code, answer.headers.get("location", ""), answer.text


def hold(valley: Valley, digest: str, days: int) -> str:
    since = str(valley.today + timedelta(days=days))
    return valley.send(f"{valley.place}/course/changes", ANA, version=digest, since=since)


def test_a_file_is_uploaded_shown_and_holds_from_its_date_and_the_household_notices(valley: Valley) -> None:
    valley.app.state.context.library.look_again(group_course(valley.group_made.id))
    page = valley.page(f"{valley.place}/course", ANA)
    assert "As it comes with Steading: holds now" in page.text
    course = files()
    status, location, _ = upload(valley, course.packed)
    assert (status, location) == (
        303,
        f"{valley.place}/course/changes?version={course.digest}&said=version-kept",
    )
    shown = valley.page(location, ANA).text
    assert "Shoes" in shown
    assert "Make the bed" in shown
    assert "A step that is gone stays with the households that have it." in shown
    assert upload(valley, course.packed)[1] == f"{valley.place}/course?said=version-known"
    assert hold(valley, course.digest, 3) == f"{valley.place}/course?said=version-holds"
    assert "to come" in valley.page(f"{valley.place}/course", ANA).text
    since = str(valley.today + timedelta(days=3))
    valley.send(f"{valley.place}/course/changes/take-back", ANA, since=since)
    assert "to come" not in valley.page(f"{valley.place}/course", ANA).text
    hold(valley, course.digest, 0)
    library = valley.app.state.context.library
    assert library.course(group_course(valley.group_made.id)).digest == course.digest


def test_a_course_with_faults_is_refused_with_all_of_them_and_nothing_is_kept(valley: Valley) -> None:
    bad = {name: text.encode() for name, text in hall().items()} | {
        "01-shoes.md": f"+++\ntitle = '{EVIL}'\nminuts = 3\nslot = 1\n+++\n# Shoes\nText.\n".encode()
    }
    status, _, text = upload(valley, packed("hall", bad, "The hall", ""))
    assert status == 422
    assert "01-shoes.md" in text
    assert "minuts" in text
    assert "needs one of morning, anytime, evening" in text
    assert EVIL not in text
    for content, name in ((b"no zip", EVIL), (b"", "empty.zip")):
        status, _, text = upload(valley, content, name)
        assert (status, "no packed course" in text, EVIL in text) == (422, True, False)
    assert "Kept on" not in valley.page(f"{valley.place}/course", ANA).text


def test_words_are_changed_in_the_browser_and_the_file_is_downloaded_with_them(valley: Valley) -> None:
    form = {"step": "bed-made", "version": "", "title": "Our bed", "text": "# Covers\nPull them straight."}
    location = valley.send(f"{valley.place}/course/words", ANA, **form)
    assert "other words" in valley.page(location, ANA).text
    digest = location.partition("version=")[2].partition("&")[0]
    with valley.asked_by(ANA):
        answer = valley.http.get(f"{valley.place}/course/file?version={digest}")
        refused = valley.http.post(f"{valley.place}/course/words", data=form | {"text": f"No {EVIL}"})
    assert answer.headers["content-disposition"] == f'attachment; filename="three-weeks-{digest[:8]}.zip"'
    step = packed_course(answer.content, "x.zip").course.step("bed-made")
    assert step is not None
    assert (step.title, [lesson.title for lesson in step.lessons]) == ("Our bed", ["Covers"])
    assert refused.status_code == 422
    assert "there is no lesson" in refused.text
    assert "No &lt;script&gt;" in refused.text


def test_what_changes_is_told_by_name_for_a_household_that_says_so(valley: Valley) -> None:
    valley.joins(BY_NAME, valley.today + timedelta(days=90))
    form = {"step": "bed-made", "version": "", "title": "Our bed", "text": "# Covers\nPull them straight."}
    text = valley.page(valley.send(f"{valley.place}/course/words", ANA, **form), ANA).text
    assert "Tern Street" in text
    assert "Nothing moves for 1 household" in text
    assert "Moves by" not in text
    valley.joins("nothing")
    location = f"{valley.place}/course/changes"
    assert "Tern Street" not in valley.page(location, ANA).text


def test_a_preview_shows_every_lesson_with_its_day(valley: Valley) -> None:
    page = valley.page(f"{valley.place}/preview?kept=0.8", ANA)
    titles = [article.text for article in page.every("article")]
    assert len(titles) > 40
    assert titles[0].lstrip().startswith("Day 1")
    with valley.asked_by(ANA):
        assert valley.http.get(f"{valley.place}/preview?kept=0.7").status_code == 422


def test_nobody_but_the_coach_of_the_group_is_told_of_its_course(valley: Valley) -> None:
    digest = files().digest
    upload(valley, files().packed)
    for caller in (BEN, HOUSEHOLD):
        for path in ("course", "course/file", "course/changes", "preview", "course/words?step=bed-made"):
            with valley.asked_by(caller):
                assert valley.http.get(f"{valley.place}/{path}").status_code == 404, path
        with valley.asked_by(caller):
            sent = valley.http.post(
                f"{valley.place}/course/changes", data={"version": digest, "since": str(valley.today)}
            )
            assert sent.status_code == 404
            assert (
                valley.http.post(
                    f"{valley.place}/course", files={"packed": ("a.zip", files().packed)}
                ).status_code
                == 404
            )


def test_programs_bring_compare_and_hold_versions_too(valley: Valley) -> None:
    slower = files(**{"01-shoes.md": STEP.format(title="Shoes", keys="minutes = 9\n", text="In a row.")})
    headers = {"content-type": "application/zip"}
    with valley.asked_by(ANA):
        for one in (files(), slower):
            made = valley.http.post("/api/courses", content=one.packed, headers=headers)
            assert made.status_code == 201, made.text
            assert made.json()["digest"] == one.digest
        assert [one["digest"] for one in valley.http.get("/api/courses").json()["courses"]][::-1] == [
            files().digest,
            slower.digest,
        ]
        place = f"/api{valley.place}"
        body = {"digest": files().digest, "since": str(valley.today)}
        assert valley.http.post(f"{place}/versions", json=body).json()["holds"] == files().digest
        told = valley.http.get(f"{place}/changes?version={slower.digest}").json()
        assert told["rules"] == [{"step": "shoes", "key": "minutes", "before": "5", "after": "9"}]
        later = str(valley.today + timedelta(days=5))
        valley.http.post(f"{place}/versions", json={"digest": slower.digest, "since": later})
        states = [one["state"] for one in valley.http.get(f"{place}/course").json()["versions"]]
        assert states[:2] == ["to come", "holds"]
        back = valley.http.delete(f"{place}/versions/{later}")
        assert "to come" not in [one["state"] for one in back.json()["versions"]]
        assert valley.http.delete(f"{place}/versions/{valley.today}").status_code == 409
        assert valley.http.get(f"{place}/course.zip").content == files().packed
        assert valley.http.get(f"{place}/preview?kept=1.0").json()["came"][0]["step"] == "shoes"
        bad = valley.http.post("/api/courses", content=b"x", headers=headers)
        assert (bad.status_code, bad.json()["faults"][0]["file"]) == (422, "the file")
    with valley.asked_by(BEN):
        assert valley.http.get(f"{place}/course").status_code == 404
