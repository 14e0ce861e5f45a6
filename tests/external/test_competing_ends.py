"""Cumulative incidence against another implementation of Aalen and Johansen's estimator.

Source: `cumulative_incidence_competing_risks` of scikit-survival, https://github.com/sebp/scikit-survival, on
its data set of bone-marrow transplants (35 patients; relapse and death by treatment compete; Scrucca et al.
2007, Bone Marrow Transplantation 40:381) and on invented spells of four ends with many on each day. It is put
into an environment of its own by pip, for its size and since its licence is not ours.
"""

from __future__ import annotations

import json
import os
import random
import subprocess
import sys
from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from coach.coaching.rules.counts import ENDS, STANDING, Count
from coach.coaching.rules.incidence import incidence

if TYPE_CHECKING:
    from coach.ground.spells import Ending

PINS = Path(__file__).parents[2] / ".ci" / "survival.txt"
ENDINGS: tuple[Ending, ...] = ("open", *ENDS)
"""Endings by the numbers that the other implementation knows them under."""
ASKING = """
import json, sys
from sksurv.datasets import load_bmt
from sksurv.nonparametric import cumulative_incidence_competing_risks

_, marrow = load_bmt()
samples = [[marrow["status"].tolist(), marrow["ftime"].tolist()], *json.load(sys.stdin)]
told = []
for status, time in samples:
    days, shares = cumulative_incidence_competing_risks(status, time)
    told.append({"status": status, "time": time, "days": days.tolist(), "shares": shares.tolist()})
print(json.dumps(told))
"""


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> list[dict[str, Any]]:
    """What the other implementation says of the transplants and of the invented spells."""
    folder = tmp_path_factory.mktemp("survival") / "env"
    without = {key: value for key, value in os.environ.items() if key != "PIP_CONSTRAINT"}
    made = subprocess.run(
        [sys.executable, "-m", "venv", "--without-pip", str(folder)],
        check=False,
        capture_output=True,
        text=True,
    )
    python = folder / "bin" / "python"
    if made.returncode == 0:
        pip = [sys.executable, "-m", "pip", "--python", str(python)]
        install = [*pip, "install", "-q", "--no-deps", "--no-compile", "-r", str(PINS)]
        made = subprocess.run(install, check=False, capture_output=True, text=True, env=without)
    if made.returncode:
        reason = f"scikit-survival cannot be installed here: {made.stderr.strip()[-300:]}"
        if os.environ.get("COACH_REQUIRE_ALL") == "1":
            pytest.fail(reason)
        pytest.skip(reason)
    asked = json.dumps([_invented(seed) for seed in range(20)])
    ended = subprocess.run([python, "-c", ASKING], input=asked, check=True, capture_output=True, text=True)
    found: list[dict[str, Any]] = json.loads(ended.stdout)
    return found


def _invented(seed: int) -> tuple[list[int], list[int]]:
    """Ends and days of a group's spells, few days for many households."""
    chance = random.Random(seed)  # noqa: S311  a sample, not a secret
    households = chance.randint(12, 300)
    ends = [*range(5), *chance.choices(range(5), weights=(3, 8, 2, 3, 1), k=households)]
    return ends, [chance.randint(1, 25) for _ in ends]


def test_the_shares_are_those_of_the_other_implementation(told: list[dict[str, Any]]) -> None:
    assert len(told) == 21
    for sample in told:
        # A day later for all changes no share, and a patient's day 0 is a spell's day 1.
        days = [int(day) + 1 for day in sample["time"]]
        found = incidence(
            [Count(day, ENDINGS[end], 1) for day, end in zip(days, sample["status"], strict=True)]
        )
        ours = {day: place for place, day in enumerate(found.days)}
        for number, shares in enumerate(sample["shares"][1:], start=1):
            theirs = {int(day) + 1: share for day, share in zip(sample["days"], shares, strict=True)}
            for day, place in ours.items():
                assert found.shares[ENDINGS[number]][place] == pytest.approx(theirs[day], abs=1e-14)


def test_the_transplants_have_several_ends_on_one_day(told: list[dict[str, Any]]) -> None:
    marrow = told[0]
    assert len(marrow["time"]) == 35
    ends = Counter((day, end) for day, end in zip(marrow["time"], marrow["status"], strict=True) if end)
    assert {end for _, end in ends} == {1, 2}
    assert max(ends.values()) > 1
    assert max(Counter(day for day, _ in ends).values()) == 2
    assert set(STANDING) == set(ENDINGS)
