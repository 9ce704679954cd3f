"""How long the phone waits for what it reads most: one bike's trend and the feed of changes."""

from __future__ import annotations

from collections import Counter
from contextlib import closing
from dataclasses import dataclass

from ops.measure.client import Client
from ops.served import Served

TREND_TIMES = 60
FEED_ROUNDS = 6
PAGE = 500


@dataclass(frozen=True)
class Times:
    """Seconds of each answer, and in words what was asked for."""

    seconds: list[float]
    what: str


def trend_times(book: Served, token: str) -> Times:
    """The whole trend, all quantities, of the bike with the most readings."""
    bike_of: dict[str, str] = {}
    readings: Counter[str] = Counter()
    with closing(Client(book.url, token)) as client:
        for _, change in feed(client):
            body = change["body"]
            if change["noun"] == "job":
                bike_of[body["id"]] = body["bike_id"]
            elif change["noun"] == "entry" and body["kind"] == "reading":
                readings[body["job_id"]] += 1
        by_bike: Counter[str] = Counter()
        for job, count in readings.items():
            by_bike[bike_of[job]] += count
        bike, count = by_bike.most_common(1)[0]
        client.timed("GET", f"/api/v1/bikes/{bike}/trend")  # the first one also loads what the later ones have
        answers = [client.timed("GET", f"/api/v1/bikes/{bike}/trend") for _ in range(TREND_TIMES)]
    return Times([seconds for seconds, _ in answers], f"{count} readings, {len(answers[0][1]['series'])} series")


def feed_times(book: Served, token: str) -> Times:
    """Each page of the feed, from its beginning to its end, several times over."""
    with closing(Client(book.url, token)) as client:
        pages = [{seconds: None for seconds, _ in feed(client)} for _ in range(FEED_ROUNDS)]
    return Times([seconds for each in pages for seconds in each], f"pages of {PAGE}")


def feed(client: Client):
    """All changes from the first on, each with the seconds its page took."""
    after, more = 0, True
    while more:
        seconds, page = client.timed("GET", f"/api/v1/changes?after={after}&limit={PAGE}")
        yield from ((seconds, change) for change in page["changes"])
        after, more = page["next"], page["more"]
