"""What a network can do beyond losing a request: send a batch twice, in parts, in part, or changed."""

from __future__ import annotations

import json
import threading
from collections.abc import Callable
from dataclasses import replace

from tests.faults.between import ENTRIES, Act, Answer, Exchange, answer_lost, html, lost, problem


def at_once(exchange: Exchange) -> list[Answer]:
    """Two copies reach the service at the same time; both answers, in the order in which they came."""
    start, answers = threading.Barrier(2), list[Answer]()

    def deliver() -> None:
        start.wait()
        answers.append(exchange.forward())

    couriers = [threading.Thread(target=deliver) for _ in range(2)]
    for one in couriers:
        one.start()
    for one in couriers:
        one.join()
    return answers


def later_first(exchange: Exchange) -> Answer:
    """The later half of a batch reaches the service before the earlier one."""
    batch = exchange.json
    middle = len(batch["entries"]) // 2
    halves = batch["entries"][middle:], batch["entries"][:middle]
    later, earlier = (exchange.forward({**batch, "entries": half}) for half in halves)
    return _with_results(later, lambda: earlier.json["results"] + later.json["results"])


def without_the_second(exchange: Exchange) -> Answer:
    """One entry does not get through, and is asked for again; those after it do."""
    batch = exchange.json
    late = batch["entries"].pop(1)
    answer = exchange.forward(batch)
    asked_for_again = {"id": late["id"], "status": "retry"}
    return _with_results(answer, lambda: [*answer.json["results"][:1], asked_for_again, *answer.json["results"][1:]])


def first_changed(exchange: Exchange, amount: float) -> Answer:
    """The service gets the first entry with another amount."""
    batch = exchange.json
    batch["entries"][0]["data"]["amount"] = amount
    return exchange.forward(batch)


def twice(exchange: Exchange) -> Answer:
    exchange.forward()
    return exchange.forward()


def only_one_at_a_time(exchange: Exchange) -> Answer | None:
    """A proxy with a small limit."""
    many = exchange.path == ENTRIES and len(exchange.json["entries"]) > 1
    return problem(413, "Too large", "Too large.")(exchange) if many else exchange.forward()


def _with_results(answer: Answer, results: Callable[[], list[dict]]) -> Answer:
    """The answer with other results in it, if it is one that has any."""
    if answer.status != 200:
        return answer
    return replace(answer, body=json.dumps({**answer.json, "results": results()}).encode())


# What a walk meets: any request, and batches of several entries.
NETWORK: list[Act] = [
    lost,
    answer_lost,
    twice,
    only_one_at_a_time,
    lambda exchange: exchange.forward().cut(),
    html(200),
    html(502),
    problem(500, "Fault", "A fault."),
    problem(503, "Busy", "Busy.", Retry_After="0"),
    html(429, "slow down", Retry_After="0"),
    problem(401, "No", "No."),
    problem(426, "Old", "Too old."),
    lambda _: Answer(200, {"Content-Type": "application/json"}, b'{"results": []}'),
]
MUDDLES: list[Act] = [later_first, without_the_second, lambda exchange: at_once(exchange)[1]]
