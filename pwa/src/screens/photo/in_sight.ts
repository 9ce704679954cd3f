/** Brings what has just opened into sight: the bar at the foot lies over the lower part of a page. */
export function inSight(opened: HTMLElement): void {
  const foot = opened.closest("main")?.querySelector(".foot");
  if (!foot || foot.contains(opened)) return;
  const [own, bar] = [opened.getBoundingClientRect(), foot.getBoundingClientRect()];
  // On a wide screen it stands beside the page.
  const covers = bar.left < own.right && bar.right > own.left;
  const under = own.bottom - (covers ? bar.top : innerHeight);
  if (under > 0) scrollBy(0, under + own.height / 2);
}
