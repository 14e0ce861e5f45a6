"""How much one process takes on at once and how long it waits: every bound of the service in one place.

Bytes of one request stand where they are counted, in `coach/web/sizes.py`. docs/running.md lists them all.
"""

from __future__ import annotations

CONNECTIONS = 512
"""Open connections. One more closes the one that can best be spared."""

INCOMPLETE = 256
"""Open connections that have not sent a whole request; one more closes the oldest of them."""

HEADER_SECONDS = 10
"""From the first byte of a request, or from the beginning of a connection, to the end of the headers.

Where TLS is spoken, as long again for agreeing on keys before that."""

HEADER_BYTES = 16 * 1024
"""The request line and headers together."""

BODY_SECONDS = 30
"""How long a body may bring nothing, and how far it may fall behind the least rate."""

BODY_RATE = 4096
"""Bytes a second that a body has to bring on average, slower than any link a backup would be sent over."""

LINGER_SECONDS = 5
"""How long a body is read on after its answer, so that the answer is read and not cut off (RFC 9112 §9.6)."""

UNREAD_SECONDS = 60
"""How long a client may take nothing of an answer that waits for it."""

IDLE_SECONDS = 75
"""How long a connection may idle. With uvicorn's 5 a busy client meets one that is just being closed."""

ACCEPTED_AT_ONCE = 8
"""Connections accepted before those open already are looked at again, so that files do not run out."""

KNOCKING = 2048
"""Connections that wait in the system to be accepted."""

THREADS = 40
"""Requests worked on at once: what AnyIO gives a process, and as many connections to the database."""

SPARE_FILES = 3 * THREADS + 4 * ACCEPTED_AT_ONCE + 24
"""Open files kept for other things than connections: three for each connection to SQLite, those just accepted
or just being closed, and what the process has open besides."""

WRITERS = 4
"""Requests that change something worked on at once: while one writes, others are read or rendered."""

IN_LINE = 384
"""Requests that wait to change something; fewer than connections, so that readers find one."""

LINE_SECONDS = 30
"""How long a request waits in that line."""

WRITE_SECONDS = 20
"""How long a write waits in all until it can begin: for its turn, for other programs, for another try."""

BUSY_SECONDS = 10
"""How long one statement waits in the database for others."""

WORK_SECONDS = 10
"""What a request may take besides waiting before whoever sent it gives it up."""

ANSWER_SECONDS = LINE_SECONDS + WRITE_SECONDS + WORK_SECONDS
"""How long a page waits for an answer: longer than the service does, whose sentence then arrives."""

RETRY_SECONDS = 5
"""What a client that met a full house is asked to wait (Retry-After, RFC 9110 §10.2.3)."""

GRACE_SECONDS = 5
"""How long the service, told to end, goes on with what it is answering."""

LAST_SECONDS = 1
"""What of that is left for refusing the changes that still wait."""

ANSWERS_DAYS = 14
"""How long an answer is kept for when its request is sent again: twice what marks wait in a phone."""

ANSWER_BYTES = 256 * 1024
"""What an answer may hold to be kept; a day with its whole list has some thousands."""

HANDSHAKES = 4 * ACCEPTED_AT_ONCE
"""Connections over TLS that have not shaken hands yet; one more is hung up on."""

LOOK_SECONDS = 60
"""How often the machine's addresses and the certificate are looked at while a home network is served."""

ROUND_SECONDS = 60
"""How often it is looked whether a message is due."""

SQLITE_HOMES = 50
"""Households of one SQLite file: one of them writes at a time. More are for PostgreSQL."""

HELD_WAITS = 128
"""Pages that are held until something is written, at once; one more is answered without waiting."""

HELD_SECONDS = 8
"""How long a page is held that asks what others have marked; it asks again 10 seconds after it asked."""

FETCHES = 60
"""How often within a minute one calendar is sent whole; a program that says what it has is not counted."""

PRINTS = 3
"""PDFs asked for at once: one is made, the others keep a thread waiting, and pages need the rest of those."""

PACKED_BYTES = 4 * 1024 * 1024
"""What a packed course may have as a file; the shipped one has a tenth of a megabyte."""

PACKED_FILES = 500
"""How many files a packed course may hold, as many as a folder of lessons."""

PACKED_FILE_BYTES = 250_000
"""What one file of a packed course may hold once it is unpacked, as much as one in a folder."""

UNPACKED_BYTES = 8 * 1024 * 1024
"""What all files of a packed course may hold together once they are unpacked."""

CHANGES_HOUSEHOLDS = 150
"""Households whose logs are folded to say what a version of a course changes for them; it takes seconds."""
