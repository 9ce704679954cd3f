"""A seeded random walk over all faults in a real browser loses nothing; with a protection removed it finds the loss.

`ROADPROOF_WALK_SEED` walks another way, `ROADPROOF_WALK_STEPS` further.
"""

from __future__ import annotations

import os

import pytest

from tests.browser.phone_browser import PhoneBrowser
from tests.browser.served import Served
from tests.faults.between import ENTRIES, Act, Between, answer_lost, html, lost
from tests.faults.walk import Walk, told_words
from tests.faults.walk_steps import KINDS, back_up, faulty_network, restore, save, send_now

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


# Each try has ids of its own, and the app is told that they are those it knows.
NEW_IDS_FOR_EACH_TRY = """(() => {
  const real = window.fetch;
  window.fetch = async (url, init) => {
    if (init?.method !== "POST" || !String(url).endsWith("/entries")) return real(url, init);
    const sent = JSON.parse(init.body);
    const own = sent.entries.map(({ id }) => id);
    for (const entry of sent.entries) entry.id = crypto.randomUUID();
    const answer = await real(url, { ...init, body: JSON.stringify(sent) });
    if (!answer.ok) return answer;
    const body = await answer.json();
    body.results.forEach((result, i) => { result.id = own[i]; });
    return Response.json(body);
  };
})()"""
AFTER_A_RESTORE = (back_up, save, restore, send_now)


@pytest.fixture
def walker(phone_browser: PhoneBrowser, served: Served, between: Between) -> Walk:
    return Walk(phone_browser, served, between, SEED)


def test_a_walk_over_all_faults_loses_and_doubles_nothing(walker: Walk, capsys) -> None:
    try:
        found = list(walker.walk(STEPS))
    except Exception as error:
        raise AssertionError(told_words([], walker)) from error
    with capsys.disabled():
        print(f"\nwalked {len(walker.taken)} steps, seed {SEED}: {len(walker.told)} entries told as saved")
    assert not found, told_words(found, walker)
    assert len(set(walker.taken)) == len(KINDS)


@pytest.mark.parametrize(
    ("spoil", "met", "first", "finding"),
    [
        (ANY_200_CONFIRMS, html(200), (), "confirmed and not in the book"),
        (ANY_200_CONFIRMS, html(200), AFTER_A_RESTORE, "confirmed and not in the book"),
        (FORGETS_WHAT_IT_SENDS, lost, (), "told as saved and not shown"),
        (NEW_IDS_FOR_EACH_TRY, answer_lost, (), "in the book and never told as saved"),
    ],
    ids=["any 200", "any 200 after a restore", "forgets", "new ids"],
)
def test_the_same_walk_with_a_protection_removed_finds_the_loss(
    walker: Walk, spoil: str, met: Act, first: tuple, finding: str
) -> None:
    """The network's fault is always the one which that protection is there for: chance does not decide the control."""
    walker.spoil, walker.network, walker.paths = spoil, [met], (ENTRIES,)
    walker.first = (*first, faulty_network)
    found: list[str] = []
    for one in walker.walk(0):
        found.append(one)
        if finding in one:
            return
    raise AssertionError(f"{finding}: not found, but {found}")
