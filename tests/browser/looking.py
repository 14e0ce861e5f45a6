"""What no page shows: broken rules of axe-core, words and labels, sideways scroll, jumps of the focus."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from playwright.sync_api import Page

AXE = (Path(__file__).parent / "vendor" / "axe-4.14.1.min.js").read_text()
# What it need not tell of all that is right takes it a third of its time.
RUN_AXE = """(rules) => axe.run(document, {runOnly: rules, resultTypes: ['violations']}).then((found) =>
    found.violations.map((one) =>
        [one.id, one.nodes.map((node) => node.html.slice(0, 120)), one.nodes[0].failureSummary]))"""
EVERYTHING = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
COLOURS = ["color-contrast", "link-in-text-block"]
"""The rules whose outcome depends on the colours."""

LONGEST = 12
"""A person's own word of more letters may break where nothing else helps."""

OPEN_ALL = "document.querySelectorAll('details').forEach((one) => (one.open = true))"
TWICE_AS_LARGE = "document.documentElement.style.fontSize = '200%'"

BROKEN_WORDS = """(longest) => {
    const found = [], range = document.createRange();
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let text = texts.nextNode(); text; text = texts.nextNode()) {
        const around = text.parentElement;
        if (!around.checkVisibility({visibilityProperty: true})) continue;
        if (around.closest('.hidden, .skip, option, svg')) continue;
        const own = around.closest('bdi') !== null;
        for (const word of text.data.matchAll(/[\\p{L}\\p{M}\\p{N}'\\u2019]{2,}/gu)) {
            if (own && word[0].length > longest) continue;
            range.setStart(text, word.index);
            range.setEnd(text, word.index + word[0].length);
            const lines = new Set([...range.getClientRects()].filter((box) => box.width > 0.5)
                .map((box) => Math.round(box.top)));
            if (lines.size > 1) found.push(`${word[0]} in ${around.outerHTML.slice(0, 100)}`);
        }
    }
    return found;
}"""

SIDEWAYS = """() => {
    const wide = document.documentElement.scrollWidth - innerWidth;
    if (wide <= 0) return [];
    return [`${wide} px too wide`, ...[...document.querySelectorAll('body *')]
        .filter((one) => one.checkVisibility() && one.getBoundingClientRect().right > innerWidth + 0.5)
        .filter((one) => !one.closest('.scroll') || one.matches('.scroll'))
        .slice(0, 5).map((one) => one.outerHTML.slice(0, 100))];
}"""

CUT = """() => [...document.querySelectorAll('svg text')].filter((one) => one.checkVisibility())
    .filter((one) => {
        const drawing = one.ownerSVGElement;
        if (getComputedStyle(drawing).overflow === 'visible') return false;
        const [said, frame] = [one, drawing].map((part) => part.getBoundingClientRect());
        return said.left < frame.left - 0.5 || said.right > frame.right + 0.5;
    })
    .map((one) => one.outerHTML.slice(0, 100))"""

HEADINGS = """() => [...document.querySelectorAll('h1, h2, h3, h4, h5, h6')]
    .filter((one) => one.checkVisibility())
    .map((one) => [Number(one.tagName[1]), one.textContent.trim().slice(0, 60)])"""

LANDMARKS = """() => ({
    mains: document.querySelectorAll('main').length,
    banners: document.querySelectorAll('body > header').length,
    unnamed: [...document.querySelectorAll('nav, [role=region]')]
        .filter((one) => !one.matches('[aria-label], [aria-labelledby]'))
        .map((one) => one.outerHTML.slice(0, 90)),
    nowhere: [...document.querySelectorAll('[aria-labelledby]')].filter((one) =>
        one.getAttribute('aria-labelledby').split(' ').some((id) => !document.getElementById(id)))
        .map((one) => one.outerHTML.slice(0, 90)),
    outside: [...document.body.children].filter((one) => !one.matches('.skip, header, main, script'))
        .map((one) => one.outerHTML.slice(0, 90)),
})"""

# Each stop is below the one before it, beside it on its row, at the head of a column to the right, or in the
# other one of a spread's two columns.
BACKWARDS = """() => {
    const stops = [...document.querySelectorAll(
        'main :is(a[href], button, summary, select, input:not([type=hidden]), textarea, [tabindex="0"])')]
        .filter((one) => one.checkVisibility({visibilityProperty: true}))
        .filter((one) => !one.disabled && !one.closest('svg, [popover]'))
        .map((one) => [one.getBoundingClientRect(), one]).filter(([box]) => box.width && box.height);
    const found = [...document.querySelectorAll('[tabindex]')].filter((one) => one.tabIndex > 0)
        .map((one) => `tabindex: ${one.outerHTML.slice(0, 90)}`);
    for (let at = 1; at < stops.length; at += 1) {
        const [last, first] = stops[at - 1], [box, stop] = stops[at];
        // After what is unfolded comes what stands beside its summary.
        const unfolded = first.closest('details');
        const leaves = unfolded && !unfolded.contains(stop) && unfolded.parentElement.contains(stop);
        const before = leaves ? unfolded.querySelector('summary').getBoundingClientRect() : last;
        if (first.contains(stop)) continue;
        if (first.closest('.first, .second') !== stop.closest('.first, .second')) continue;
        const below = box.top >= before.bottom - 8;
        const beside = box.left >= before.left - 4 && box.bottom > before.top;
        const column = box.left >= before.right - 4;
        if (!below && !beside && !column)
            found.push([[before, first], [box, stop]].map(([where, one]) =>
                `${one.outerHTML.slice(0, 70)} at ${where.left | 0},${where.top | 0}`).join(', then '));
    }
    return found;
}"""


ON_PAPER = """() => {
    const shown = (selector) => [...document.querySelectorAll(selector)]
        .filter((one) => one.checkVisibility({visibilityProperty: true, contentVisibilityAuto: true}))
        .map((one) => one.outerHTML.slice(0, 100));
    return {
        // The boxes of the days before are printed as what they show: a mark, or an empty box.
        tapped: shown('button:not(.grid-line button), .button, [type=submit], [popover]')
            .concat(shown('.places, .pager, .skip, .house')),
        folded: [...document.querySelectorAll('details:not([open])')]
            .filter((one) => one.checkVisibility() && [...one.children].slice(1).some((part) =>
                part.textContent.trim() && !part.matches('form, .actions, :has(form):not(:has(li))')))
            .filter((one) => one.offsetHeight < one.querySelector(':scope > summary').offsetHeight + 8)
            .map((one) => one.outerHTML.slice(0, 100)),
        without_box: [...document.querySelectorAll(
            '.line:not(.marked):not(:has(.stamp)), :is(.due-line, .todo-line):has(form)')]
            .filter((one) => one.checkVisibility())
            .filter((one) => {
                const own = one.querySelector('.paper-box');
                const box = own ? getComputedStyle(own) : getComputedStyle(one, '::after');
                return box.display === 'none' || !(parseFloat(box.borderTopWidth) >= 1)
                    || !(parseFloat(box.width) >= 12);
            }).map((one) => one.outerHTML.slice(0, 100)),
        too_wide: [...document.querySelectorAll('body *')]
            .filter((one) => one.checkVisibility() && one.getBoundingClientRect().right > innerWidth + 0.5)
            .slice(0, 4).map((one) => one.outerHTML.slice(0, 100)),
    };
}"""


def broken_rules(page: Page, rules: Sequence[str] = EVERYTHING) -> list[object]:
    """What axe-core finds on the page as it is."""
    if not page.evaluate("'axe' in window"):
        page.evaluate(AXE)
    return list(page.evaluate(RUN_AXE, rules))


def broken_words(page: Page) -> list[str]:
    """Words that stand on two lines without a hyphen; a person's own only if they are short."""
    return list(page.evaluate(BROKEN_WORDS, LONGEST))


def too_wide(page: Page) -> list[str]:
    """By how much the page scrolls sideways, and what sticks out of it."""
    return list(page.evaluate(SIDEWAYS))


def cut_labels(page: Page) -> list[str]:
    """Labels of drawings whose first or last letters the drawing's edge cuts off."""
    return list(page.evaluate(CUT))


def heading_jumps(page: Page) -> list[str]:
    """Headings more than one level below the one before, and a page's own that is not its first."""
    found, before = [], 0
    headings = page.evaluate(HEADINGS)
    for level, text in headings:
        if level > before + 1 or (level == 1 and before):
            found.append(f"h{level} after h{before}: {text}")
        before = level
    return found if headings else ["no heading"]


def backward_steps(page: Page) -> list[str]:
    """Stops of the Tab key that do not follow the order in which the page is read."""
    return list(page.evaluate(BACKWARDS))


def lost_landmarks(page: Page) -> dict[str, object]:
    """Landmarks that are missing, there twice or without a name, and what stands in none."""
    found = page.evaluate(LANDMARKS)
    return {name: value for name, value in found.items() if value != {"mains": 1, "banners": 1}.get(name, [])}


def wrong_on_paper(page: Page) -> dict[str, list[str]]:
    """What one taps, what is folded, lines without a box, and what the paper is too narrow for."""
    return {name: found for name, found in page.evaluate(ON_PAPER).items() if found}
