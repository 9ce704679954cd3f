"""The worker: what a first load receives, what comes once the app runs, and all of it there without a signal."""

from __future__ import annotations

from collections.abc import Callable

from tests.browser.phone import Phone

KEPT = """async () => {
  const kept = await Promise.all((await caches.keys()).map(async (name) => (await caches.open(name)).keys()));
  return kept.flat().map((request) => new URL(request.url).pathname);
}"""


def test_the_first_load_brings_the_core_and_the_rest_comes_later(new_phone: Callable[[], Phone]) -> None:
    phone = new_phone().open().offline_ready()
    first = set(phone.page.evaluate(KEPT))
    assert "/" in first
    named = "() => [...document.querySelectorAll('script, link[rel=stylesheet]')].map((e) => new URL(e.src ?? e.href))"
    named_paths = phone.page.evaluate(f"() => ({named})().map((url) => url.pathname)")
    assert {path for path in first if path.startswith("/assets/")} == set(named_paths)
    phone.until(f"async () => (await ({KEPT})()).some((path) => path.includes('work_out'))")
    phone.context.set_offline(True)
    rest = [path for path in phone.page.evaluate(KEPT) if path not in first]
    assert len(rest) > 1
    for path in rest:
        assert phone.page.evaluate("(path) => fetch(path).then((answer) => answer.status)", path) == 200
    phone.reload()


def test_the_service_is_never_answered_from_a_cache(phone: Phone) -> None:
    phone.context.set_offline(True)
    for path in ("/api/v1/me", "/readyz", "/openapi.json"):
        answered = "(path) => fetch(path).then((answer) => answer.status, () => 'no signal')"
        assert phone.page.evaluate(answered, path) == "no signal"
