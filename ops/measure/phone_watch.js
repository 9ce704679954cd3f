/** Runs in the page before the app: notes when each tap was durably saved, and when a start was answered. */
globalThis.measured = (() => {
  const measured = { saves: [], shown: null, answered: null, tapAtStart };

  let tapped = null;
  addEventListener("click", (event) => (tapped = event.timeStamp), true);
  const add = IDBObjectStore.prototype.add;
  IDBObjectStore.prototype.add = function (...row) {
    if (this.name === "outbox" && tapped !== null) {
      const since = tapped;
      tapped = null;
      this.transaction.addEventListener("complete", () => measured.saves.push(performance.now() - since));
    }
    return add.apply(this, row);
  };

  /** What `selector` finds, once it has been drawn. */
  const drawn = (selector) =>
    new Promise((resolve) => {
      const look = () => {
        const found = document.querySelector(selector);
        if (!found) return;
        watch.disconnect();
        requestAnimationFrame(() => setTimeout(() => resolve(found)));
      };
      const watch = new MutationObserver(look);
      watch.observe(document, { childList: true, subtree: true });
      look();
    });

  /** Taps the first bike as soon as it is there. */
  async function tapAtStart() {
    const bike = await drawn("a.bike");
    measured.shown = performance.now();
    bike.click();
    await drawn("a.planlink");
    measured.answered = performance.now();
  }

  return measured;
})();

/** One transaction in the phone's own database; resolves with what `work` gives once it has been completed. */
const inDatabase = (stores, mode, work) =>
  new Promise((resolve, reject) => {
    const opening = indexedDB.open("roadproof");
    opening.onerror = () => reject(opening.error);
    opening.onsuccess = () => {
      const db = opening.result;
      const tx = db.transaction(stores, mode);
      const asked = work(...stores.map((name) => tx.objectStore(name)));
      tx.onabort = () => reject(tx.error);
      tx.oncomplete = () => {
        db.close();
        resolve(asked.result);
      };
    };
  });

/** How far the phone has read the changes of the shop's book. */
globalThis.cursor = async () => (await inDatabase(["meta"], "readonly", (meta) => meta.get("cursor"))) ?? 0;

/** Writes entries down as the app does, without its screens. */
globalThis.writeDown = (entries) =>
  inDatabase(["meta", "outbox"], "readwrite", (meta, outbox) => {
    const asked = meta.get("device");
    asked.onsuccess = () => {
      const device = asked.result;
      for (const [i, written] of entries.entries()) {
        const entry = { ...written, device_seq: device.next_seq + i };
        const { id, job_id, device_seq } = entry;
        outbox.put({ device_seq, id, job_id, entry, state: "queued", saved_at: Date.now() });
      }
      meta.put({ ...device, next_seq: device.next_seq + entries.length }, "device");
    };
    return asked;
  });
