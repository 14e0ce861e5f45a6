"""What is wrong with a value of a request, in plain words in the place of the validator's own."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping

DATE = "Write a date as YYYY-MM-DD, such as 2027-01-04."
INSTANT = "Write an instant with its offset, such as 2027-01-04T08:30:00+01:00."
TIME = "Write a time of day as HH:MM, such as 15:30."
LANGUAGE = "Write a language as BCP 47 does, such as en-GB."
WHOLE = "Write a whole number."
OBJECT = "Send a JSON object, with the content type application/json."

# By the validator's kinds of error; the names in braces are what it says about a case.
_WORDS = {
    "missing": "This is missing.",
    "extra_forbidden": "There is no such key here. Take it out, or check how it is written.",
    "repeated": "This is given more than once. Give it once.",
    "model_attributes_type": OBJECT,
    "model_type": OBJECT,
    "dict_type": OBJECT,
    "date_type": DATE,
    "date_parsing": DATE,
    "date_from_datetime_parsing": DATE,
    "date_from_datetime_inexact": DATE,
    "string_unicode": "This has half of a character in it. Write it anew.",
    "string_type": "Write text in quotes.",
    "string_too_long": "Use at most {max_length} characters.",
    "literal_error": "Choose {expected}.",
    "int_type": WHOLE,
    "int_parsing": WHOLE,
    "int_parsing_size": WHOLE,
    "int_from_float": WHOLE,
    "bool_type": "Write true or false.",
    "bool_parsing": "Write true or false.",
    "list_type": "Write a list.",
    "greater_than_equal": "Choose {ge} or more.",
    "less_than_equal": "Choose {le} or less.",
    "string_pattern_mismatch": "This is not written as it has to be. See its pattern in /openapi.json.",
    "too_short": "Name at least {min_length}.",
    "too_long": "Name at most {max_length}.",
}


# Where a body is no JSON, by what `coach.web.api.strictness` found.
_NO_JSON = {
    "utf-8": "From here on this is not UTF-8. Send JSON in UTF-8, without a byte order mark.",
    "half": "This has half of a character in it. Write it anew.",
    "depth": "This is nested too deeply.",
    "digits": "A number has too many digits.",
    "number": "NaN and Infinity are no numbers in JSON.",
    "key": "An object has a key twice. Give each key once.",
}


def reason(error: Mapping[str, Any]) -> str:
    """One error of a validation in words; the value itself is not repeated."""
    kind, about = str(error["type"]), error.get("ctx", {})
    if kind == "string_too_short":
        fewest = about["min_length"]
        return "This cannot be empty." if fewest == 1 else f"Use {fewest} characters or more."
    if kind == "json_invalid":
        return _NO_JSON.get(about["error"], "From here on this is no JSON.")
    words = _WORDS.get(kind)
    return words.format(**about) if words else str(error["msg"])
