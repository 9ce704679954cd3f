"""Controls: with one protection taken away, what the fault tests ask does find the harm."""

from __future__ import annotations

import json
from datetime import datetime, timedelta

import pytest

from tests.browser.phone import Phone
from tests.browser.served import Served
from tests.faults.between import CHANGES, ENTRIES, Answer, Between, Exchange, problem
from tests.faults.restoring import back_up, restore
from tests.faults.truth import agree, amounts, device_numbers, one_job, settle


def told(answer: Answer, **other) -> Answer:
    """The answer with something else in it."""
    return Answer(answer.status, answer.headers, json.dumps({**answer.json, **other}).encode())


def harm(phone: Phone, served: Served, job: str, told_as_saved: list[float]) -> bool:
    """Whether the question that ends the fault tests finds something lost, doubled or out of order."""
    settle(phone)
    with pytest.raises(AssertionError):
        agree(phone, served, job, told_as_saved)
    return amounts(served, job) != told_as_saved


def test_a_yes_that_is_not_the_services_own_loses_entries(far_phone: Phone, served: Served, between: Between):
    """Taken away: only the service's answer to this very batch confirms. Here something else says *stored* to all."""
    job = one_job(far_phone)
    earlier = between.requests(ENTRIES)[-1].forward()

    def yes(exchange: Exchange) -> Answer:
        stored = [{"id": one["id"], "status": "stored", "seq": 9} for one in exchange.json["entries"]]
        return told(earlier, results=stored)

    between.on(ENTRIES, yes)
    far_phone.turn(job, 2)
    far_phone.wait_sent()
    between.clear()
    assert harm(far_phone, served, job, [1, 2])
    assert amounts(served, job) == [1]


def test_a_new_id_for_each_try_doubles_entries(far_phone: Phone, served: Served, between: Between):
    """Taken away: an entry is sent again under its own id. Here each try gets ids of its own."""
    job = one_job(far_phone)

    def renamed(exchange: Exchange) -> Answer:
        batch, old = exchange.json, exchange.json["entries"]
        number = between.count(ENTRIES)
        for one in batch["entries"]:
            one["id"] = f"{one['id'][:-4]}{number:04x}"
        results = exchange.forward(batch).json["results"]
        mended = [{**result, "id": one["id"]} for result, one in zip(results, old, strict=True)]
        return told(earlier, results=mended)

    earlier = between.requests(ENTRIES)[-1].forward()
    lose = [True]

    def renamed_and_lost_once(exchange: Exchange) -> Answer | None:
        answer = renamed(exchange)
        return None if lose and lose.pop() else answer

    between.on(ENTRIES, renamed_and_lost_once)
    far_phone.turn(job, 2)
    assert harm(far_phone, served, job, [1, 2])
    assert amounts(served, job) == [1, 2, 2]


def test_an_order_by_arrival_is_noticed(far_phone: Phone, served: Served, between: Between):
    """Taken away: the order is by the time an entry was taken. Here all get the time at which they come in."""
    job = one_job(far_phone)

    def later_first(exchange: Exchange) -> Answer:
        batch, results = exchange.json, []
        for place, one in enumerate(reversed(batch["entries"])):
            taken = datetime.fromisoformat(batch["sent_at"]) + timedelta(milliseconds=place)
            answer = exchange.forward({**batch, "entries": [{**one, "taken_at": taken.isoformat()}]})
            results = answer.json["results"] + results
        return told(answer, results=results)

    far_phone.context.set_offline(True)
    far_phone.turn(job, 2)
    far_phone.turn(job, 3)
    between.on(ENTRIES, later_first)
    far_phone.context.set_offline(False)
    assert harm(far_phone, served, job, [1, 2, 3])
    assert device_numbers(served, job) == [1, 3, 2]


def test_a_restore_that_goes_unnoticed_loses_entries(far_phone: Phone, served: Served, between: Between):
    """Taken away: a new epoch. Here every answer bears the one from before the restore."""
    job = one_job(far_phone)
    epoch = between.requests(ENTRIES)[-1].forward().json["epoch"]
    copy = back_up(served)
    far_phone.turn(job, 2)
    far_phone.wait_sent()
    restore(served, copy)
    for path in (ENTRIES, CHANGES):
        between.on(path, lambda exchange: told(exchange.forward(), epoch=epoch))
    assert harm(far_phone, served, job, [1, 2])
    assert amounts(served, job) == [1]


def test_a_retry_after_that_goes_unheard_is_noticed(far_phone: Phone, between: Between):
    """Taken away: the header does not reach the app."""
    job = one_job(far_phone)
    far_phone.page.evaluate(
        """() => {
          const get = Headers.prototype.get;
          Headers.prototype.get = function (name) { return name === "Retry-After" ? null : get.call(this, name); };
        }"""
    )
    between.on(ENTRIES, problem(503, "Busy", "Back in a moment.", Retry_After="2"), times=1)
    far_phone.turn(job, 2)
    settle(far_phone)
    assert between.quiet_after(between.requests(ENTRIES)[-2]) < 2
