"""Forms joined field by field: what one changes alone is kept, what two change is asked."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from coach.web.pages.seen import Values, joined, seen_text

TEXTS = st.sampled_from(["", "a", "b", "c", "two\nlines"])
FORMS = st.dictionaries(st.sampled_from(["title", "minutes:1", "minutes:2"]), TEXTS)


def test_what_only_one_has_changed_is_kept() -> None:
    shown = {"title": "Rent", "amount": "900"}
    mine, now = shown | {"amount": "950"}, shown | {"title": "Rent of the flat"}
    assert joined(seen_text(shown), (), mine, now) == ({"title": "Rent of the flat", "amount": "950"}, ())


def test_what_both_have_changed_is_named_and_keeps_what_was_typed() -> None:
    shown = {"title": "Rent", "amount": "900"}
    mine, now = shown | {"amount": "950"}, shown | {"amount": "1000"}
    assert joined(seen_text(shown), (), mine, now) == (mine, ("amount",))


def test_the_same_change_by_both_is_no_clash() -> None:
    shown, changed = {"title": "Rent"}, {"title": "Lease"}
    assert joined(seen_text(shown), (), changed, changed) == (changed, ())


def test_what_is_there_can_be_taken_only_as_long_as_it_was_shown() -> None:
    now = {"title": "theirs"}
    assert joined(seen_text(now), ["title"], {"title": "mine"}, now) == (now, ())
    later = {"title": "theirs, again"}
    assert joined(seen_text(now), ["title"], {"title": "mine"}, later) == ({"title": "mine"}, ("title",))


def test_what_somebody_else_added_or_took_off_is_kept_so() -> None:
    shown = {"title:1": "Hall", "title:2": "Stairs"}
    now = {"title:1": "Hall", "title:3": "Landing"}
    assert joined(seen_text(shown), (), shown, now) == (now, ())


def test_what_was_taken_off_and_changed_by_another_is_asked() -> None:
    shown = {"title:1": "Hall"}
    assert joined(seen_text(shown), (), {"title:1": "Hallway"}, {}) == ({"title:1": "Hallway"}, ("title:1",))


def test_a_browsers_line_breaks_are_no_change() -> None:
    shown = {"lines": "one\ntwo"}
    assert joined(seen_text(shown), (), {"lines": "one\r\ntwo\r\n"}, {"lines": "three"}) == (
        {"lines": "three"},
        (),
    )


def test_a_form_that_does_not_say_what_it_showed_replaces_as_it_says() -> None:
    assert joined("", (), {"title": "mine"}, {"title": "theirs"}) == ({"title": "mine"}, ())


@given(shown=FORMS, mine=FORMS, now=FORMS)
def test_no_change_is_undone_unless_both_made_one(shown: Values, mine: Values, now: Values) -> None:
    """Each field is what its only changer made of it; a field that both changed otherwise is named."""
    merged, clashing = joined(seen_text({"other": ""} | shown), (), mine, now)
    for name in {*shown, *mine, *now}:
        was, sent, stands = shown.get(name), mine.get(name), now.get(name)
        assert (name in clashing) == (len({was, sent, stands}) == 3)
        if name not in clashing:
            assert merged.get(name) == (stands if sent == was else sent)
