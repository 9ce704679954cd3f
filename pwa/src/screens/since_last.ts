/** "Nothing known" and an event exclude each other; the newer answer wins. */
export function settle(ids: string[], before: string[]): string[] {
  const added = ids.find((id) => !before.includes(id));
  if (added === "nothing_known") return ["nothing_known"];
  return added ? ids.filter((id) => id !== "nothing_known") : ids;
}
