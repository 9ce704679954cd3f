"""A seeded random walk over all faults in a real browser loses nothing; with a protection removed it finds the loss.

`ROADPROOF_WALK_SEED` walks another way, `ROADPROOF_WALK_STEPS` further.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from itertools import islice
from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from tests.browser.phone_browser import PhoneBrowser
from tests.browser.served import Served
from tests.faults.between import Act, Between, html, lost
from tests.faults.walk import Walk, told_words

SEED = int(os.environ.get("ROADPROOF_WALK_SEED", "20260504"))
STEPS = int(os.environ.get("ROADPROOF_WALK_STEPS", "220"))

ANY_200_CONFIRMS = """(() => {
  const real = window.fetch;
  window.fetch = async (url, init) => {
    const answer = await real(url, init);
    const ours = (answer.headers.get("Content-Type") ?? "").startsWith("application/json");
    if (init?.method !== "POST" || !String(url).endsWith("/entries") || !answer.ok || ours) return answer;
    const sent = JSON.parse(init.body);
    const results = sent.entries.map(({ id }) => ({ id, status: "stored" }));
    return Response.json({ epoch: sent.epoch, server_time: new Date().toISOString(), backed_up_to: null, results });
  };
})()"""
FORGETS_WHAT_IT_SENDS = """(() => {
  const real = window.fetch;
  window.fetch = async (url, init) => {
    if (init?.method !== "POST" || !String(url).endsWith("/entries")) return real(url, init);
    const sent = JSON.parse(init.body).entries.map((entry) => entry.device_seq);
    await new Promise((resolve) => {
      indexedDB.open("roadproof").onsuccess = ({ target: { result: db } }) => {
        const tx = db.transaction("outbox", "readwrite");
        for (const seq of sent) tx.objectStore("outbox").delete(seq);
        tx.oncomplete = () => resolve(db.close());
      };
    });
    return real(url, init);
  };
})()"""


@pytest.fixture
def walker(playwright: Playwright, served: Served, between: Between, tmp_path: Path) -> Iterator[Walk]:
    browser = PhoneBrowser(playwright, tmp_path / "profile")
    yield Walk(browser, served, between, SEED)
    browser.close()


def test_a_walk_over_all_faults_loses_and_doubles_nothing(walker: Walk, capsys) -> None:
    try:
        found = list(walker.walk(STEPS))
    except Exception as error:
        raise AssertionError(told_words([], walker)) from error
    with capsys.disabled():
        print(f"\nwalked {len(walker.taken)} steps, seed {SEED}: {len(walker.told)} entries told as saved")
    assert not found, told_words(found, walker)
    assert len(set(walker.taken)) == len(Walk.STEPS)


@pytest.mark.parametrize(
    ("spoil", "met"),
    [(ANY_200_CONFIRMS, html(200)), (FORGETS_WHAT_IT_SENDS, lost)],
    ids=["any 200", "forgets"],
)
def test_the_same_walk_with_a_protection_removed_finds_the_loss(walker: Walk, spoil: str, met: Act) -> None:
    """The network's fault is always the one which that protection is there for: chance does not decide the control."""
    walker.spoil, walker.network = spoil, [met]
    assert list(islice(walker.walk(STEPS), 1)), "nothing was found"
