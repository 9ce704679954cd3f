/** The index of the shop's own pages. */
const PAGES = [["bikes", "#/", "Bikes"], ["work_out", "#/work-out", "Work it out"], ["workshop", "#/workshop", "Workshop"], ["settings", "#/settings", "Settings"]] as const;

export function ShopIndex({ at }: { at?: (typeof PAGES)[number][0] }) {
  return (
    <nav class="idx" aria-label="Shop">
      {PAGES.map(([id, link, word]) => <a href={link} aria-current={at === id ? "page" : undefined}>{word}</a>)}
    </nav>
  );
}
