"""One function for each thing a person does, one result type each; storage and clock come in through ports.

Modules and their functions (`household` is the key, `home` in embedded use):

    today.py     today(context, household) -> Day;  day(context, household, on) -> Day
    start.py     choices(context, household) -> Start;  start(context, household, first, zone, day_starts, pace) -> Day
    marks.py     mark(context, household, on, step, mark, request_id=None) -> Day
                 unmark(context, household, on, step, request_id=None) -> Day
    pauses.py    pause(context, household, since, until) -> Day;  resume(context, household, choice=None) -> Day
                 call_off(context, household, since) -> Day     takes a pause back that has not begun
    path.py      path(context, household) -> Path;  step(context, household, step) -> StepView
    steps.py     add(context, household, step | None, definition: dict) -> StepView
                 add_from_catalogue(context, household, step) -> StepView
                 adjust(context, household, step, changes: dict) -> StepView
                 set_aside(...), restore(...), take_next(...)(context, household, step) -> StepView
                 catalogue(context, household) -> tuple[CatalogueStep, ...]
    settings.py  settings(context, household) -> Settings
                 change(context, household, zone=None, day_starts=None, minutes=...) -> Settings
    data.py      export(context, household) -> str (CSV);  load(context, household, text) -> Imported
                 forget(context, household) -> None
    courses.py   check(folder) -> faults and warnings
"""
