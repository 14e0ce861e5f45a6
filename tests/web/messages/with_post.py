"""Houses whose messages go to a post office that keeps them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from coach.messages.sending import send_due
from messages.post import PostOffice

if TYPE_CHECKING:
    from coach.messages.answers import Round
    from web.house import House


def given_post(house: House) -> PostOffice:
    """Let a house's messages go to a post office that keeps them."""
    post = PostOffice()
    house.app.state.carrier = post
    return post


def rung(house: House) -> Round:
    """What comes of one round now."""
    return send_due(house.app.state.context, house.app.state.carrier, house.now)


def with_message(house: House) -> str:
    """The path of the link in a message that was sent to whoever is alone in a house."""
    post = given_post(house)
    house.now = house.now.replace(hour=6)
    sent = house.http.post("/reminders", data={"way": "mail", "at": "07:00", "address": "ana@example.org"})
    assert sent.status_code == 303, sent.text
    house.now = house.now.replace(hour=7)
    assert rung(house).sent == 1
    return post.carried[-1][1].stop_link
