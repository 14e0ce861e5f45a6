"""Ways to spoil a request: its fields, its body, and the headers, method and address around it."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING
from urllib.parse import quote, quote_from_bytes

from attack.hostile import BODIES, FORM, HEADERS, JSON, METHODS, RAW, TYPES, VALUES

if TYPE_CHECKING:
    from collections.abc import Callable
    from random import Random

    from attack.surface import Form

BOUNDARY = "--------attack"
DATE = re.compile(r"\d{4}-\d\d-\d\d")


@dataclass(frozen=True)
class Sent:
    """A request as it goes out.

    Attributes:
        how: What was done to it, for the reader of a fault.
    """

    method: str
    path: str
    body: bytes | None = None
    headers: dict[str, str] = field(default_factory=dict)
    how: str = "as it was"

    def __str__(self) -> str:
        """Enough to send it again; of a long address or body its beginning."""
        return f"{self.method} {self.path[:300]} {self.headers} {(self.body or b'')[:300]!r} ({self.how})"


def _hostile(random: Random) -> bytes:
    """A value nobody expects, as bytes."""
    return random.choice(RAW) if random.random() < 0.15 else random.choice(VALUES).encode()


Fields = list[tuple[str, bytes]]


def _spoil_fields(fields: Fields, random: Random, known: list[str]) -> tuple[Fields, str]:
    """Fields of which one is missing, doubled, spoilt or somebody else's, or one more than there are."""
    if not fields:
        return [("extra", _hostile(random))], "a field too many"
    place = random.randrange(len(fields))
    name, value = fields[place]
    match random.randrange(7):
        case 0:
            return fields[:place] + fields[place + 1 :], f"without {name}"
        case 1:
            return [*fields, (name, random.choice((value, _hostile(random))))], f"{name} twice"
        case 2:
            return [
                *fields[:place],
                (name, random.choice(known).encode()),
                *fields[place + 1 :],
            ], f"other {name}"
        case 3:
            return [*fields, (random.choice(VALUES)[:50] or "x", _hostile(random))], "a field too many"
        case _:
            return [*fields[:place], (name, _hostile(random)), *fields[place + 1 :]], f"spoilt {name}"


def _encoded(fields: Fields) -> bytes:
    return "&".join(f"{quote(name)}={quote_from_bytes(value)}" for name, value in fields).encode()


def multipart(fields: Fields, files: dict[str, bytes]) -> bytes:
    """Fields and files as a browser sends them together."""
    parts = [(f'name="{quote(name, safe=" ")}"', value) for name, value in fields]
    parts += [(f'name="{name}"; filename="a.csv"', value) for name, value in files.items()]
    body = b"".join(
        f"--{BOUNDARY}\r\nContent-Disposition: form-data; {head}\r\n\r\n".encode() + value + b"\r\n"
        for head, value in parts
    )
    return body + f"--{BOUNDARY}--\r\n".encode()


def form_request(form: Form, random: Random, known: list[str], files: tuple[bytes, ...]) -> Sent:
    """A form sent as it is or spoilt, encoded as it asks for or otherwise."""
    fields = [(name, value.encode("utf-8", "surrogatepass")) for name, value in form.fields]
    how = "as it was"
    for _ in range(random.choice((0, 1, 1, 1, 2, 3))):
        fields, did = _spoil_fields(fields, random, known)
        how = did if how == "as it was" else f"{how}, {did}"
    if form.method == "GET":
        return Sent("GET", form.action.partition("?")[0] + "?" + _encoded(fields).decode(), None, {}, how)
    if form.files or random.random() < 0.1:
        body = multipart(fields, {name: random.choice(files) for name in form.files or ("extra",)})
        return Sent(
            form.method, form.action, body, {"Content-Type": f"multipart/form-data; boundary={BOUNDARY}"}, how
        )
    return Sent(form.method, form.action, _encoded(fields), {"Content-Type": FORM}, how)


def spoil_json(value: object, random: Random) -> tuple[bytes, str]:
    """A JSON body of which something is missing, doubled, of another type, or which is no JSON."""
    match random.randrange(6):
        case 0:
            return random.choice(BODIES), "another body"
        case 1:
            text = json.dumps(value).encode()
            return text[: random.randrange(len(text) + 1)], "cut"
        case 2 if isinstance(value, dict) and value:
            key = random.choice(list(value))
            return (
                json.dumps(value)[:-1] + f", {json.dumps(key)}: {json.dumps(random.choice(JSON))}" + "}"
            ).encode(), f"{key} twice"
        case 3 if isinstance(value, dict) and value:
            kept = dict(value)
            kept.pop(random.choice(list(kept)))
            return json.dumps(kept).encode(), "a key is missing"
        case _:
            return json.dumps(_other(value, random)).encode("utf-8", "surrogatepass"), "another value"


def _other(value: object, random: Random) -> object:
    """A value in which one place holds something else."""
    if isinstance(value, dict) and value and random.random() < 0.9:
        key = random.choice(list(value))
        return {**value, key: _other(value[key], random)}
    if isinstance(value, list) and value and random.random() < 0.7:
        return [_other(value[0], random), *value[1:]]
    return random.choice((*JSON, *VALUES))


def _path(sent: Sent, random: Random) -> Sent:
    """Another address: one segment spoilt, a date far away, a slash or a question too many."""
    path, mark, query = sent.path.partition("?")
    segments = path.split("/")
    place = random.randrange(1, len(segments))
    match random.randrange(5):
        case 0:
            far = random.choice(("0001-01-01", "9999-12-31", "2027-02-30", "1900-01-01", "2199-12-31"))
            return replace(sent, path=DATE.sub(far, path) + mark + query, how=f"{sent.how}, date {far}")
        case 1:
            return replace(
                sent,
                path=path + random.choice(("/", "//", "/..", "?", "%00", ";a")),
                how=f"{sent.how}, more path",
            )
        case 2:
            more = "&".join(
                f"{name}={quote_from_bytes(_hostile(random)[:2000])}"
                for name in ("on", "days", "week", "from")
            )
            return replace(sent, path=f"{path}?{more}", how=f"{sent.how}, another query")
        case _:
            segments[place] = quote_from_bytes(_hostile(random)[:2000], safe="")
            return replace(sent, path="/".join(segments) + mark + query, how=f"{sent.how}, another address")


def _method(sent: Sent, random: Random) -> Sent:
    return replace(sent, method=random.choice(METHODS), how=f"{sent.how}, another method")


def _headers(sent: Sent, random: Random) -> Sent:
    return replace(
        sent, headers={**sent.headers, **random.choice(HEADERS)}, how=f"{sent.how}, another header"
    )


def _type(sent: Sent, random: Random) -> Sent:
    return replace(
        sent, headers={**sent.headers, "Content-Type": random.choice(TYPES)}, how=f"{sent.how}, another type"
    )


def _cut(sent: Sent, random: Random) -> Sent:
    body = sent.body or b""
    return replace(sent, body=body[: random.randrange(len(body) + 1)], how=f"{sent.how}, cut")


def _bytes(sent: Sent, random: Random) -> Sent:
    body = bytearray(sent.body or b"x")
    body[random.randrange(len(body) or 1) :][:1] = random.choice(RAW)
    return replace(sent, body=bytes(body) + random.choice(RAW), how=f"{sent.how}, no UTF-8")


AROUND: tuple[Callable[[Sent, Random], Sent], ...] = (_path, _method, _headers, _headers, _type, _cut, _bytes)


def spoilt_around(sent: Sent, random: Random) -> Sent:
    """Now and then a wrong address, method, header, type or length around a body."""
    return random.choice(AROUND)(sent, random) if random.random() < 0.4 else sent
