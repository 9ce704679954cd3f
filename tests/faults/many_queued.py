"""Entries put into a phone's outbox in bulk, as if they had been saved one by one without a signal."""

from __future__ import annotations

from tests.browser.phone import Phone

PUT_MANY = """([job, count]) => new Promise((resolve, reject) => {
  const opening = indexedDB.open("roadproof");
  opening.onerror = () => reject(opening.error);
  opening.onsuccess = () => {
    const db = opening.result;
    const tx = db.transaction(["meta", "outbox"], "readwrite");
    const asked = tx.objectStore("meta").get("device");
    asked.onsuccess = () => {
      const { id: device, next_seq } = asked.result;
      // One a second, the last of them a minute ago.
      const first = Date.now() - 60_000 - count * 1000;
      for (let i = 0; i < count; i++) {
        const [id, device_seq, saved_at] = [crypto.randomUUID(), next_seq + i, first + i * 1000];
        const data = { adjuster: "rear_trim", amount: i % 19 - 9, unit: "step" };
        const taken_at = new Date(saved_at).toISOString();
        const entry = { id, job_id: job, device_seq, kind: "adjustment", stage: "road", taken_at, data };
        tx.objectStore("outbox").add({ id, job_id: job, device_seq, entry, state: "queued", saved_at });
      }
      tx.objectStore("meta").put({ id: device, next_seq: next_seq + count }, "device");
    };
    tx.oncomplete = () => resolve(db.close());
    tx.onabort = () => reject(tx.error);
  };
})"""


def put_many(phone: Phone, job: str, count: int) -> list[float]:
    """Queue `count` adjustments of a job, a second apart, the last a minute ago; their amounts."""
    phone.page.evaluate(PUT_MANY, [job, count])
    return [i % 19 - 9 for i in range(count)]
