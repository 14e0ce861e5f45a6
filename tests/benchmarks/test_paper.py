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

COLD = """
import sys
from time import process_time
sys.path.insert(0, "tests")
import coach.app
from press.made import a_sheet
found = a_sheet(30)
loaded = "coach.press.sheet" in sys.modules or "typst" in sys.modules
began = process_time()
from coach.press.sheet import sheet
made = sheet(found)
print(process_time() - began, loaded)
"""


def test_a_sheet_is_set_within_half_a_second_in_a_process_that_set_none_before() -> None:
    """With the import of the library and the reading of its faces: what the first to print waits for."""
    root = Path(__file__).parents[2]
    said = [
        subprocess.run([sys.executable, "-c", COLD], cwd=root, check=True, capture_output=True, text=True)
        for _ in range(ROUNDS)
    ]
    told = [one.stdout.split() for one in said]
    seconds = sorted(float(taken) for taken, _ in told)
    print(f"\na first sheet of 30 lines: {seconds[ROUNDS // 2] * 1000:.0f} ms of processor time")
    assert {loaded for _, loaded in told} == {"False"}
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
