"""A phone whose storage is full: a quota set by the browser's own tool, used up by a database beside the app's."""

from __future__ import annotations

from tests.browser.phone import Phone

ROOM = 400_000  # bytes beyond what the app uses at that moment
FILL = """(room) => new Promise((resolve, reject) => {
  const opening = indexedDB.open("filler", 1);
  opening.onupgradeneeded = () => opening.result.createObjectStore("rows", { autoIncrement: true });
  opening.onerror = () => reject(opening.error);
  opening.onsuccess = () => {
    const db = opening.result;
    // Halves what it adds, until not even a few bytes more are taken.
    const add = (size) => {
      const tx = db.transaction("rows", "readwrite");
      const rows = tx.objectStore("rows");
      rows.add("x".repeat(size));
      tx.oncomplete = () => add(size);
      tx.onabort = () => {
        if (tx.error.name !== "QuotaExceededError") reject(tx.error);
        else if (size > 4) add(size >> 1);
        else resolve(db.close());
      };
    };
    add(room >> 2);
  };
})"""
FREE = """() => new Promise((resolve, reject) => {
  const deleting = indexedDB.deleteDatabase("filler");
  deleting.onsuccess = () => resolve();
  deleting.onerror = () => reject(deleting.error);
})"""


def limit(phone: Phone) -> None:
    """Leave little room. The browser remembers for half a minute how much room a site has, so the page must not have
    written anything yet."""
    tool = phone.context.new_cdp_session(phone.page)
    used = tool.send("Storage.getUsageAndQuota", {"origin": phone.url})["usage"]
    tool.send("Storage.overrideQuotaForOrigin", {"origin": phone.url, "quotaSize": int(used) + ROOM})


def fill(phone: Phone) -> None:
    phone.page.evaluate(FILL, ROOM)


def free(phone: Phone) -> None:
    """As a person does who deletes pictures."""
    phone.page.evaluate(FREE)
