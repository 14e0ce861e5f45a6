"""Write the expected files of the stories named anew, on purpose.

    PYTHONPATH=tests python -m golden.write STORY ...

Read what changed against the rules before committing it; nothing else says that it is right.
"""

from __future__ import annotations

import sys

from golden.story import STORIES, story_of, told


def main(names: list[str]) -> int:
    """Write the expected files of the stories named."""
    unknown = sorted(set(names) - set(STORIES))
    if not names or unknown:
        sys.stderr.write(f"Name one or more stories of: {', '.join(STORIES)}\n")
        return 2
    for name in names:
        story = story_of(name)
        story.expected.write_text(told(story), encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
