"""Write the expected files of the stories named anew, on purpose.

    PYTHONPATH=tests python -m golden.write STORY ...

`ninety-days` names the files of the home plan's story. Read what changed against the rules before committing
it; nothing else says that it is right.
"""

from __future__ import annotations

import sys

from golden.diary import NINETY_DAYS
from golden.seeing import seen
from golden.story import STORIES, story_of, told
from golden.telling import TOLD

NAMES = [*STORIES, NINETY_DAYS.name]


def main(names: list[str]) -> int:
    """Write the expected files of the stories named."""
    unknown = sorted(set(names) - set(NAMES))
    if not names or unknown:
        sys.stderr.write(f"Name one or more stories of: {', '.join(NAMES)}\n")
        return 2
    for name in names:
        if name == NINETY_DAYS.name:
            _write_ninety_days()
        else:
            story = story_of(name)
            story.expected.write_text(told(story), encoding="utf-8")
    return 0


def _write_ninety_days() -> None:
    by_mode = {mode: seen(mode) for mode in dict.fromkeys(mode for mode, _ in TOLD.values())}
    for name, (mode, tell) in TOLD.items():
        (NINETY_DAYS / name).write_text(tell(by_mode[mode]), encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
