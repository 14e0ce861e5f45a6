"""The press: sets what `coach.paper` answers as PDF, with its own type and nothing of the machine's.

It knows no household, store or page: values come in, bytes go out.
"""
