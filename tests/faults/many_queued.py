"""Entries put into a phone's outbox in bulk, as if they had been saved one by one without a signal."""

from __future__ import annotations

from tests.browser.phone import Phone

PUT_MANY = """([job, count, most]) => new Promise((resolve, reject) => {
  const opening = indexedDB.open("roadproof");
  opening.onerror = () => reject(opening.error);
  opening.onsuccess = () => {
    const db = opening.result;
    const tx = db.transaction(["meta", "outbox"], "readwrite");
    const meta = tx.objectStore("meta");
    const asked = meta.get("device");
    const clock = meta.get("clock");
    clock.onsuccess = () => {
      const { id: device, next_seq } = asked.result;
      // One a second over all calls, all of them past, and since the phone last heard the time.
      const first = Date.now() - (most - next_seq) * 1000;
      meta.put({ ...clock.result, at: Math.min(clock.result.at, first - 1000) }, "clock");
      for (let i = 0; i < count; i++) {
        const [id, device_seq, saved_at] = [crypto.randomUUID(), next_seq + i, first + i * 1000];
        const data = { adjuster: "rear_trim", amount: i % 19 - 9, unit: "step" };
        const taken_at = new Date(saved_at).toISOString();
        const entry = { id, job_id: job, device_seq, kind: "adjustment", stage: "road", taken_at, data };
        tx.objectStore("outbox").add({ id, job_id: job, device_seq, entry, state: "queued", saved_at });
      }
      meta.put({ id: device, next_seq: next_seq + count }, "device");
    };
    tx.oncomplete = () => resolve(db.close());
    tx.onabort = () => reject(tx.error);
  };
})"""


MOST = 20_000


def put_many(phone: Phone, job: str, count: int) -> list[float]:
    """Queue `count` adjustments of a job, a second apart; their amounts."""
    phone.page.evaluate(PUT_MANY, [job, count, MOST])
    return [i % 19 - 9 for i in range(count)]
