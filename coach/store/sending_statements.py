"""The statements about feeds, reminders and messages, built once."""

from __future__ import annotations

from typing import Any

from sqlalchemy import DateTime, Text, bindparam, delete, insert, select, update
from sqlmodel import col

from coach.store.sending_tables import FeedTable, MessageTable, ReminderTable, ServiceKeyTable

_HOUSEHOLD = bindparam("household", type_=Text())
_PERSON = bindparam("person", type_=Text())
_FEED = bindparam("feed", type_=Text())
_REMINDER = bindparam("reminder", type_=Text())
_INSTANT = bindparam("instant", type_=DateTime(timezone=True))

_fed = col(FeedTable.household_id) == _HOUSEHOLD
_reminded = col(ReminderTable.household_id) == _HOUSEHOLD
_told = col(MessageTable.household_id) == _HOUSEHOLD
_to_them = col(MessageTable.person_id) == _PERSON

_feed: tuple[Any, ...] = (
    col(FeedTable.feed_id),
    col(FeedTable.household_id),
    col(FeedTable.person_id),
    col(FeedTable.name),
    col(FeedTable.holds),
    col(FeedTable.made_at),
    col(FeedTable.seen_at),
)
_reminder: tuple[Any, ...] = (
    col(ReminderTable.reminder_id),
    col(ReminderTable.household_id),
    col(ReminderTable.person_id),
    col(ReminderTable.way),
    col(ReminderTable.address),
    col(ReminderTable.key),
    col(ReminderTable.auth),
    col(ReminderTable.device),
    col(ReminderTable.at),
    col(ReminderTable.next_at),
    col(ReminderTable.made_at),
)

FEEDS = select(*_feed).where(_fed).order_by(col(FeedTable.made_at), col(FeedTable.feed_id))
FED = select(*_feed).where(col(FeedTable.secret) == bindparam("shown", type_=Text()))
REMINDERS = select(*_reminder).where(_reminded).order_by(col(ReminderTable.person_id))
REMINDER = select(*_reminder).where(col(ReminderTable.reminder_id) == _REMINDER)
WAITING = (
    select(*_reminder)
    .where(col(ReminderTable.next_at) <= _INSTANT)
    .order_by(col(ReminderTable.next_at), col(ReminderTable.reminder_id))
    .limit(bindparam("most"))
)
MESSAGES = (
    select(col(MessageTable.name), col(MessageTable.claimed_at), col(MessageTable.outcome))
    .where(_told, _to_them, col(MessageTable.claimed_at) >= _INSTANT)
    .order_by(col(MessageTable.claimed_at), col(MessageTable.name))
)
CLAIMED = select(col(MessageTable.name)).where(
    _told, _to_them, col(MessageTable.name).in_(bindparam("names", expanding=True))
)
KEY = select(col(ServiceKeyTable.secret)).where(col(ServiceKeyTable.name) == bindparam("named", type_=Text()))

ADD_FEED = insert(FeedTable)
ADD_REMINDER = insert(ReminderTable)
ADD_MESSAGE = insert(MessageTable)
ADD_KEY = insert(ServiceKeyTable)

CHANGE_FEED = update(FeedTable).where(_fed, col(FeedTable.feed_id) == _FEED)
TOUCH_FEED = update(FeedTable).where(col(FeedTable.feed_id) == _FEED)
POSTPONE = update(ReminderTable).where(col(ReminderTable.reminder_id) == _REMINDER)
CAME_OF = update(MessageTable).where(
    _told, _to_them, col(MessageTable.name).in_(bindparam("names", expanding=True))
)

DROP_FEED = delete(FeedTable).where(_fed, col(FeedTable.feed_id) == _FEED)
DROP_REMINDER = delete(ReminderTable).where(_reminded, col(ReminderTable.person_id) == _PERSON)
DROP_MESSAGES = delete(MessageTable).where(_told, col(MessageTable.claimed_at) < _INSTANT)
DROP_THEIRS = (
    delete(FeedTable).where(_fed, col(FeedTable.person_id) == _PERSON),
    DROP_REMINDER,
    delete(MessageTable).where(_told, _to_them),
)
CLEAR = (
    delete(FeedTable).where(_fed),
    delete(ReminderTable).where(_reminded),
    delete(MessageTable).where(_told),
)
