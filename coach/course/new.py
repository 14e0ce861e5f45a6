"""The files of a small course that passes the check, for a coach to begin from."""

from __future__ import annotations

_COURSE = """\
title = "A calmer hall"
summary = "Two small daily habits by the front door, and a sweep once a week. Make it yours."

# With everything kept, every waiting step has settled by the end of this day.
ramp_days = 21

# Everything below can be left out; these are the values that hold then.
at_once = 1               # how many waiting steps may be practised at a time
lapse_after = 7           # days in a row without a mark after which the household counts as away

[hold]                    # nothing new comes while less than this share of the latest days was kept
at_least = 0.6
over = 7

[return]                  # after an absence: the days that halve the list, the share that makes it grow again
half_life = 14
good_day = 0.6666666667

[paces]                   # what each pace adds to both numbers of every `settles`
standard = 0
gentle = 1
"""

_SHOES = """\
+++
title = "Shoes side by side"
why = "It takes one minute, and it is the first thing anyone sees who comes home."
cue = "when the last one is home in the evening"
small = "Move one pair out of the way"
slot = "evening"
minutes = 1
repeats = "FREQ=DAILY"
settles = { kept = 2, of = 3 }
+++
# One minute at the door

Every shoe that lies in the hall today goes beside its partner, toes to the wall, in one row. It
does not matter whose they are or which season they belong to. If the row is too long for the wall,
the pairs that nobody has worn this week can stand somewhere else until they are wanted.

One minute is enough. When it is over, leave the rest for tomorrow.

# A moment to hang it on

A habit needs a moment that comes by itself. Here it is the evening hour at which the last one comes
in and the door is locked. Hand on the key, then a look down at the floor.

If your evenings end at different hours, pick a moment of your own, such as taking the dog out for
the last time, and write it into the cue. The plainer the moment, the better it reminds you.

# Other people's shoes

The row will often be in disorder again by morning, and mostly it will not have been you. That is no
reason to have a talk about it. Set the shoes straight, as you would close a door that somebody left
open.

Those who live with you will see where shoes stand when they are put away. Some join in after a
while. If they do not, it is still one minute a day.

# When the day was too long

The small version is one pair. Push the shoes that someone could stumble over to the wall with your
foot, and the day is kept. You need not bend down for it.

And if you find on the way to work that nothing was done last night, then nothing was done last
night. This evening there will be shoes again, and the door will be locked again. Begin there.
"""

_COATS = """\
+++
title = "Coats on their hooks"
cue = "when the shoes stand in their row"
small = "Hang up your own coat"
slot = "evening"
minutes = 2
repeats = "FREQ=DAILY"
after = ["shoes-in-row"]  # every one of these must have settled; ids are file names without number and .md
settles = { kept = 2, of = 3 }
+++
# Up from the chair

Coats, bags and scarves that lie on chairs, banisters and the floor go on a hook today. One hook for
each person is a good number to begin with; what does not fit on it this week may hang in a
wardrobe.

Follow the shoes with it: once they stand in their row, you are in the hall already and your hands
are free. Two minutes do for most homes.

# Enough hooks, low enough

If coats keep ending up on the chair, count the hooks. A hook that is full is no hook, and one that
a child cannot reach is none for the child.

There may be a simple remedy: take the summer jackets away until summer, or give each person a hook
with a name. Before you buy anything, live with that for a week and see whether the chair stays
empty.

# The chair is quicker

Dropping a coat takes a second, and hanging it up takes four. On a tired evening the chair wins, and
everybody knows this chair.

Make the chair a little harder to use. Put a plant on it, or turn it to the wall, or carry it into
another room for a fortnight. Then make the hook easier: by the door, with nothing in front of it.
Small changes of place often do more than good intentions.

# Only your own

On a low evening hang up your own coat and leave the rest where it is. That is the small version,
and it counts.

After an evening without it, the coats are where they were and so are the hooks. You need not do
more today to make up for it. Start with the one that is nearest to the door, and stop when the two
minutes are over.
"""

_SWEEP = """\
+++
title = "Sweep the hall"
cue = "on Saturday, before the shopping is carried in"
small = "Shake out the mat"
slot = "morning"
minutes = 10
repeats = "FREQ=WEEKLY;BYDAY=SA"
after = ["shoes-in-row"]
waits = false             # the next waiting step need not wait until this one has settled
lines = [
  { title = "Shake out the mat", minutes = 2 },
  { title = "Sweep from the stairs to the door", minutes = 6 },
  { title = "Empty the dustpan", minutes = 2 },
]
stop_after = 10
+++
# From the stairs to the door

Once a week the hall gets ten minutes. Shake the mat out of doors, sweep from the far end towards
the door, and empty the pan at once, so that it does not stand about for days.

With the shoes in a row there is little to move first. If Saturday does not suit you, choose another
day for this step. It can still be done on any day before it comes round again.
"""


def starter() -> dict[str, str]:
    """The names and contents of the files."""
    return {
        "course.toml": _COURSE,
        "01-shoes-in-row.md": _SHOES,
        "02-coats-hung.md": _COATS,
        "03-hall-swept.md": _SWEEP,
    }
