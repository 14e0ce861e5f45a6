"""Fuzzing: forms and JSON of a filled home, spoilt in every way, against a real `coach serve`.

`PYTHONPATH=tests .venv/bin/python -m attack.forms --rounds 10000`
"""

from __future__ import annotations

import json
import sys
from contextlib import closing
from typing import TYPE_CHECKING, Any

from attack.broken import send_broken
from attack.rounds import run
from attack.service import NO_ANSWER, Client, Service, fill_home
from attack.spoiling import Sent, form_request, spoil_json, spoilt_around
from attack.surface import Form, Routes, example, forms, links
from coach.app import create_app
from coach.settings import Settings
from web.markup import Element, read

if TYPE_CHECKING:
    from pathlib import Path

    from attack.rounds import Attack

ROUNDS = 10_000
START = "/today"
MOST_ADDRESSES = 1_500
FORMS_A_PAGE = 6
LOOK_EVERY = 500
"""After so many requests the service is looked over, and its home filled again if it is gone."""
SELDOM = {"/data/forget": 0.02, "/away": 0.2, "/data/restore": 0.3, "/data/import": 0.3}
"""What changes the whole home is sent that often only, so that there is a home to attack."""
FIRST_FAILURE = 500
BUSY = 503
OF_A_ROUTE = "{"


class Fuzzer:
    """What is known of the service so far, and what goes on being asked of it."""

    def __init__(self, attack: Attack, service: Service, saved: Path) -> None:
        self.random, self.tally = attack.random, attack.tally
        self.service, self._saved = service, saved
        self._client = Client(service.port)
        self._addresses = {START, "/", "/start", "/api/today"}
        self._values = {"bed-made", "2027-01-04"}
        app = create_app(Settings(database=f"sqlite:///{attack.folder / 'none.db'}"))
        app.state.context.store.close()
        self.routes = Routes.of(app)
        self._description: dict[str, Any] = app.openapi()
        log = self._client.ask("GET", "/api/log.csv")[2]
        self._files = (
            log,
            log[: len(log) // 2],
            b"",
            b"\xff\xfe\x00",
            b"date,what\n",
            saved.read_bytes()[:50_000],
        )

    def _send(self, sent: Sent) -> tuple[int, dict[str, str], bytes] | None:
        """Send, count and judge; nothing where nobody answered."""
        try:
            answer = self._asked(sent)
        except NO_ANSWER as error:
            self.tally.count("not answered")
            self.tally.fault(f"no answer ({error!r}) to {sent}")
            return None
        status, headers, content = answer
        self.tally.count(f"answered {status // 100}xx")
        self.routes.meet(sent.method, sent.path.partition("?")[0])
        self._judge(sent, status, headers.get("content-type", ""), content)
        return answer

    def _asked(self, sent: Sent) -> tuple[int, dict[str, str], bytes]:
        """Ask, and once more over a new connection: a kept one may just have been closed."""
        try:
            return self._client.ask(sent.method, sent.path, sent.body, sent.headers)
        except NO_ANSWER:
            self.tally.count("asked again")
            return self._client.ask(sent.method, sent.path, sent.body, sent.headers)

    def _judge(self, sent: Sent, status: int, kind: str, content: bytes) -> None:
        """No answer may be a failure of ours, nor say that it is JSON or a page and be none."""
        if fails(status, content):
            self.tally.fault(f"{status} to {sent}: {content[:300]!r}")
        if sent.method == "HEAD" or not content:
            return
        why = unreadable(kind, content)
        if why:
            self.tally.fault(f"an answer that cannot be read ({why}) to {sent}: {content[:300]!r}")
        elif kind.startswith("text/html"):
            self._learn(read(content.decode()), sent.path.partition("?")[0])

    def _learn(self, page: Element, address: str) -> None:
        if len(self._addresses) < MOST_ADDRESSES:
            self._addresses |= links(page, address)
        for form in list(forms(page, address))[:FORMS_A_PAGE]:
            self._values |= {value for _, value in form.fields if len(value) < 100}
            self._values |= {part for part in form.action.split("/") if part}

    def page_and_its_forms(self) -> int:
        """Read a page and send some of its forms; how many requests that were."""
        address = self.random.choice(sorted(self._addresses))
        answer = self._send(Sent("GET", address))
        if answer is None or not answer[1].get("content-type", "").startswith("text/html"):
            return 1
        if unreadable("text/html", answer[2]):
            return 1
        found = list(forms(read(answer[2].decode()), address.partition("?")[0]))
        chosen = [
            form for form in self.random.sample(found, min(FORMS_A_PAGE, len(found))) if self._wanted(form)
        ]
        for form in chosen:
            self._send(
                spoilt_around(form_request(form, self.random, self._known(), self._files), self.random)
            )
        return 1 + len(chosen)

    def _wanted(self, form: Form) -> bool:
        return self.random.random() < SELDOM.get(form.action.partition("?")[0], 1.0)

    def _known(self) -> list[str]:
        return sorted(self._values)

    def json_request(self) -> int:
        """Send one request to the JSON interface, with values that fit or not; how many that were."""
        template = self.random.choice(sorted(self._description["paths"]))
        method = self.random.choice(sorted(self._description["paths"][template]))
        body = self._body(self._description["paths"][template][method])
        headers = {"Content-Type": "application/json"} if body is not None else {}
        path = "/".join(self._part(part) for part in template.split("/"))
        self._send(spoilt_around(Sent(method.upper(), path, body, headers, "JSON"), self.random))
        return 1

    def broken_request(self) -> int:
        """Send something that is no whole request: it is refused or let go, and the next one is answered."""
        try:
            sent, status = send_broken(self.service.port, self.random)
        except TimeoutError as error:
            self.tally.fault(f"neither an answer nor an end ({error}) to a broken request")
            return 1
        self.tally.count("broken requests")
        if status is not None and status >= FIRST_FAILURE:
            self.tally.fault(f"{status} to the broken request {sent[:300]!r}")
        return 1

    def route_request(self) -> int:
        """Ask a route of the application that no request has met yet, or any; how many requests that were."""
        left = sorted(self.routes.all.keys() - self.routes.asked) or sorted(self.routes.all)
        method, template = self.random.choice(left)
        if self.random.random() >= SELDOM.get(template, 1.0):
            return 0
        form = Form(method, "/".join(self._part(part) for part in template.split("/")), (), ())
        self._send(form_request(form, self.random, self._known(), self._files))
        return 1

    def ask(self) -> int:
        """One turn of asking; how many requests it was."""
        turns = (self.page_and_its_forms, self.json_request, self.route_request, self.broken_request)
        return self.random.choices(turns, (10, 25, 3, 1))[0]()

    def _part(self, part: str) -> str:
        """A segment of an address with something known, of which most fit, in place of its parameter."""
        if not part.startswith(OF_A_ROUTE):
            return part
        dated = [value for value in self._known() if value[:2] == "20" and len(value) == len("2027-01-04")]
        plain = [value for value in self._known() if value.replace("-", "").isalnum() and value.isascii()]
        return self.random.choice(dated if "date" in part and dated else plain)

    def _body(self, operation: dict[str, Any]) -> bytes | None:
        described = operation.get("requestBody", {}).get("content", {})
        if not described:
            return None if self.random.random() < 0.8 else b"{}"
        if "text/csv" in described:
            return (
                self.random.choice(self._files) if self.random.random() < 0.3 else b"date,what,step,value\n"
            )
        parts = self._description["components"]["schemas"]
        value = example(described["application/json"]["schema"], parts, self.random)
        return (
            json.dumps(value).encode() if self.random.random() < 0.35 else spoil_json(value, self.random)[0]
        )

    def look(self) -> None:
        """The service still answers; a home that was deleted or emptied is put back."""
        status, _, content = self._client.ask("GET", "/healthz")
        self.tally.expect(status == 200, f"/healthz says {status} {content[:300]!r}")
        steps, _, _ = self._client.ask("GET", "/areas")
        if self._client.ask("GET", START)[0] != 200 or steps != 200:
            restored = self.service.coach("restore", self._saved, "--database", self.service.url)
            self.tally.expect(restored.returncode == 0, f"it cannot be restored: {restored.stderr}")
            self.tally.count("homes put back")

    def close(self) -> None:
        """Let go of the connection."""
        self._client.close()


def fails(status: int, content: bytes) -> bool:
    """Whether an answer is a failure of ours; a 503 that says that the database was busy is none."""
    return status >= FIRST_FAILURE and not (status == BUSY and b"busy" in content)


def unreadable(kind: str, content: bytes) -> str:
    """Why an answer is not what its kind of content says; empty if it is."""
    try:
        if "json" in kind:
            json.loads(content)
        elif kind.startswith("text/html"):
            read(content.decode())
    except (ValueError, AssertionError) as error:
        return str(error) or type(error).__name__
    return ""


def _look_afterwards(attack: Attack, service: Service) -> None:
    """The log is exported, replayed, and read by a new home that exports the same."""
    log, again, other = (attack.folder / name for name in ("log.csv", "again.csv", "other.db"))
    with closing(Client(service.port)) as client:
        today = client.json("GET", "/api/today")[1]["date"]
    commands = (
        ("export", log, "--database", service.url),
        ("replay", log, "--course", "three-weeks", "--on", today),
        ("import", log, "--database", f"sqlite:///{other}"),
        ("export", again, "--database", f"sqlite:///{other}"),
    )
    for command in commands:
        ended = service.coach(*command)
        attack.tally.expect(
            ended.returncode == 0, f"afterwards `coach {command[0]}` says {ended.stderr[-600:]}"
        )
    same = log.exists() and again.exists() and log.read_bytes() == again.read_bytes()
    attack.tally.expect(same, "the log that a new home exports is another one")


def attack_by_fuzzing(attack: Attack) -> None:
    """Ask, send, look."""
    service = Service(attack.folder / "home.db", attack.folder / "said.log")
    saved = attack.folder / "saved.db"
    fill_home(service.file)
    assert service.coach("backup", saved, "--database", service.url).returncode == 0
    assert service.start(), service.said
    try:
        _rounds(attack, service, saved)
        _look_afterwards(attack, service)
    finally:
        service.end()
    traces = service.said.count("Traceback")
    attack.tally.expect(not traces, f"{traces} traces, the last one: {service.said[-3000:]}")


def _rounds(attack: Attack, service: Service, saved: Path) -> None:
    with closing(Fuzzer(attack, service, saved)) as fuzzer:
        done, looked = 0, 0
        while done < attack.rounds:
            done += fuzzer.ask()
            if done - looked >= LOOK_EVERY:
                looked = done
                fuzzer.look()
        fuzzer.look()
        attack.tally.count("requests", done)
        attack.tally.count("routes asked", len(fuzzer.routes.asked))
        attack.tally.count("routes in all", len(fuzzer.routes.all))


def main(arguments: list[str]) -> int:
    """Run it by its arguments."""
    return run("forms", ROUNDS, attack_by_fuzzing, arguments)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
