"""Whether a sheet fits on its page, and what could be left off: by what stands on it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.ground.cautions import CautionView
from coach.paper.answers import SheetCaution
from coach.paper.fits import fit_of
from paper.made import ENGLISH, a_sheet


@pytest.mark.parametrize("lines", [1, 12, 30])
@pytest.mark.parametrize("laid", ["upright", "across"])
@pytest.mark.parametrize("paper", ["a4", "letter"])
def test_one_to_thirty_lines_with_seven_jobs_fit(paper: str, laid: str, lines: int) -> None:
    found = fit_of(a_sheet(lines, ENGLISH, paper=paper, across=laid == "across"))
    assert (found.over, found.helps) == (0, ())
    assert found.size >= 8


def test_what_does_not_fit_says_by_how_much_and_what_saves_how_much() -> None:
    found = fit_of(a_sheet(60))
    assert found.over > 0
    assert [one.saves for one in found.helps] == sorted((one.saves for one in found.helps), reverse=True)
    saved = {one.piece: one for one in found.helps}
    sheet = a_sheet(60, left_off=("dinners",))
    assert fit_of(sheet).over == found.over - saved["dinners"].saves
    assert saved["dinners"].fits is (saved["dinners"].saves >= found.over)
    # Lines to write on have given way already.
    assert "writing" not in saved


def test_with_a_back_page_the_lines_of_jobs_take_no_room_on_the_front() -> None:
    front, back = a_sheet(60), a_sheet(60, back=True)
    assert fit_of(back).over < fit_of(front).over
    assert "job-lines" not in {one.piece for one in fit_of(back).helps}


def test_names_signs_and_words_of_an_area_take_room() -> None:
    plain = replace(a_sheet(60), members=())
    said = "This week is left free. " * 40
    assert fit_of(replace(plain, area_text=said)).over > fit_of(plain).over
    assert fit_of(replace(plain, areas=(), area_text=said)).over > fit_of(replace(plain, areas=())).over
    marked = replace(plain, lines=tuple(replace(line, boxes=("kept",) * 7) for line in plain.lines))
    assert fit_of(marked).over > fit_of(plain).over


def test_a_back_page_is_set_in_the_size_at_which_it_fits() -> None:
    few = fit_of(a_sheet(5, back=True)).back
    caution = CautionView("hot", "Hot things", "Let it cool before you touch it. " * 12, "common practice")
    many = replace(a_sheet(5, back=True), cautions=(SheetCaution(caution, ("Oven",)),) * 12)
    assert few == 1
    assert few < fit_of(many).back <= 9


def test_a_back_page_that_is_too_long_says_by_how_many_lines_where_one_is_wanted() -> None:
    caution = CautionView("hot", "Hot things", "Let it cool before you touch it. " * 12, "common practice")
    wanted = replace(a_sheet(5, back=True), cautions=(SheetCaution(caution, ("Oven",)),) * 60)
    assert fit_of(wanted).back_over > 10
    fewer = replace(wanted, cautions=wanted.cautions[:40])
    assert 0 <= fit_of(fewer).back_over < fit_of(wanted).back_over
    assert fit_of(replace(wanted, choices=replace(wanted.choices, back=False))).back_over == 0
    assert fit_of(a_sheet(5, back=True)).back_over == 0


def test_paper_that_lies_across_has_a_wide_grid_before_it_has_tall_rows() -> None:
    found = fit_of(a_sheet(8, across=True, left_off=("job-lines",)))
    assert (found.size, found.layout) == (11, "beside-53")
