"""Write the expected files of the stories named anew, on purpose.

    PYTHONPATH=tests python -m golden.write STORY ...

`ninety-days` names the files of the home plan's story, `all` every story there is. The log of a story in
which everything is kept follows from its course, and is written anew too. Read what changed against the rules
before committing it; nothing else says that it is right.
"""

from __future__ import annotations

import sys

from coach.progress.csvform import write_log
from golden.diary import NINETY_DAYS
from golden.seeing import seen
from golden.story import STORIES, all_kept, story_of, told
from golden.telling import TOLD

ALL = "all"
NAMES = [*STORIES, NINETY_DAYS.name]


def main(names: list[str]) -> int:
    """Write the expected files of the stories named."""
    wanted = NAMES if names == [ALL] else names
    if not wanted or not set(wanted) <= set(NAMES):
        sys.stderr.write(f"Name one or more stories of: {', '.join(NAMES)}; or say {ALL}\n")
        return 2
    for name in wanted:
        if name == NINETY_DAYS.name:
            _write_ninety_days()
        else:
            _write_story(name)
    return 0


def _write_story(name: str) -> None:
    story = story_of(name)
    if story.keeps_all:
        story.log.write_text(write_log(all_kept(story)), encoding="utf-8")
        story = story_of(name)
    story.expected.write_text(told(story), encoding="utf-8")


def _write_ninety_days() -> None:
    by_mode = {mode: seen(mode) for mode in dict.fromkeys(mode for mode, _ in TOLD.values())}
    for name, (mode, tell) in TOLD.items():
        (NINETY_DAYS / name).write_text(tell(by_mode[mode]), encoding="utf-8")


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
