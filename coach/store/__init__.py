"""Where households live: tables, the engine, the store behind the port of the rooms, migrations and backups.

`open_store(url)` in `opening.py` is the way in; `memory.py` holds the same store without a database.
"""
