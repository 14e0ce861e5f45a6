"""How hard Hypothesis looks: the same examples at every run, unless one asks for more.

`HYPOTHESIS_PROFILE=explore pytest tests/property` looks at ten times as many, and at others each time.
`few` looks at ten alone, for the mutation round.
"""

from __future__ import annotations

import os

from hypothesis import HealthCheck, settings

SLOW_TO_DRAW = [HealthCheck.too_slow, HealthCheck.data_too_large]

settings.register_profile(
    "ci", max_examples=50, deadline=None, derandomize=True, suppress_health_check=SLOW_TO_DRAW
)
settings.register_profile(
    "explore", max_examples=500, deadline=None, print_blob=True, suppress_health_check=SLOW_TO_DRAW
)
settings.register_profile(
    "few", max_examples=10, deadline=None, derandomize=True, suppress_health_check=SLOW_TO_DRAW
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "ci"))
