"""A sheet of thirty lines is set within half a second of processor time, the library's loading included."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from time import process_time

from coach.press.printed import Printed
from coach.press.sheet import sheet
from press.made import a_sheet

MOST_SECONDS = 0.5
ROUNDS = 5
USUAL_SECONDS = 0.6
"""Ten million turns of a loop on a core that is not slowed down: a choice, not measured where the half
second was promised. A core that needs longer, as its host is busy, is given as much more for the sheet."""

COLD = """
import sys
from time import process_time
sys.path.insert(0, "tests")
from press.made import a_sheet
found = a_sheet(30)
began = process_time()
from coach.press.sheet import sheet
made = sheet(found)
taken, total = process_time() - began, 0
for turn in range(10_000_000):
    total += turn
print(taken, process_time() - began - taken)
"""


def test_a_sheet_is_set_within_half_a_second_in_a_process_that_set_none_before() -> None:
    """With the import of the library and the reading of its faces: what the first to print waits for."""
    root = Path(__file__).parents[2]
    said = [
        subprocess.run([sys.executable, "-c", COLD], cwd=root, check=True, capture_output=True, text=True)
        for _ in range(ROUNDS)
    ]
    told = [tuple(map(float, one.stdout.split())) for one in said]
    seconds = sorted(taken / max(1.0, loop / USUAL_SECONDS) for taken, loop in told)
    print(f"\na first sheet of 30 lines: {seconds[ROUNDS // 2] * 1000:.0f} ms of processor time")
    assert seconds[ROUNDS // 2] < MOST_SECONDS


def test_every_further_sheet_is_set_within_half_a_second_either_way() -> None:
    """Nothing is kept from one sheet to the next, so each is worked out anew."""
    for across in (False, True):
        found = a_sheet(30, across=across)
        taken = []
        for _ in range(ROUNDS):
            began = process_time()
            assert isinstance(sheet(found), Printed)
            taken.append(process_time() - began)
        median = sorted(taken)[ROUNDS // 2]
        print(f"\n{'across' if across else 'upright'}, 30 lines: {median * 1000:.0f} ms of processor time")
        assert median < MOST_SECONDS
