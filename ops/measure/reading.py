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


def trend_times(book: Served, token: str) -> tuple[Times, Times]:
    """The trend of the bike with the most readings: all of it, and its longest quantity alone, as a screen asks."""
    with closing(Client(book.url, token)) as client:
        bike, count = busiest_bike([change for _, change in feed(client)])
        path = f"/api/v1/bikes/{bike}/trend"
        _, whole = client.timed("GET", path)  # the first one also loads what the later ones have
        points = Counter()
        for series in whole["series"]:
            points[series["quantity"]] += len(series["points"])
        longest = points.most_common(1)[0][0]
        return (
            Times(repeated(client, path), f"{count} readings, {len(whole['series'])} series"),
            Times(repeated(client, f"{path}?quantity={longest}"), f"{points[longest]} readings"),
        )


def repeated(client: Client, path: str) -> list[float]:
    return [client.timed("GET", path)[0] for _ in range(TREND_TIMES)]


def busiest_bike(changes: list[dict]) -> tuple[str, int]:
    """The bike with the most readings, and how many."""
    bike_of = {change["body"]["id"]: change["body"]["bike_id"] for change in changes if change["noun"] == "job"}
    entries = [change["body"] for change in changes if change["noun"] == "entry"]
    counted = Counter(bike_of[entry["job_id"]] for entry in entries if entry["kind"] == "reading")
    return counted.most_common(1)[0]


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
