/** What a noise's timing says, in words for the mechanic (common practice). */

export const NAMES: Record<string, string> = {
  crank: "once per crank turn (bottom bracket, crank, one pedal)",
  pedal_strokes: "once per pedal stroke (both pedals, both crank arms, saddle, bar)",
  wheel: "once per turn of the rear wheel (wheel, tyre, disc, cassette)",
  chain_loop: "once per round of the chain (one link)",
  pulley: "once per turn of a pulley",
  other: "none of these",
};

/** One or more sentences on what the ranking means and what to do next. */
export function advice(best: string, told: boolean, stillOpen: readonly string[], fast: readonly string[], coasting: boolean | null): string {
  const sentences = [];
  const names = (parts: readonly string[]) => parts.map((part) => NAMES[part]).join("; ");
  if (told) sentences.push(`It comes ${NAMES[best]}.`);
  else if (!stillOpen.length || best === "other") sentences.push("It keeps time with none of these parts: count or tap again, and check gear and counts.");
  else sentences.push(`These cannot be told apart: ${names(stillOpen)}. Shift to another gear and repeat.`);
  if (fast.length) sentences.push(`Too fast to tap along with: ${names(fast)}. Count ten turns to rule it out.`);
  if (coasting) sentences.push("It goes on while coasting, so crank, chain and pulleys are out.");
  else if (coasting === false) sentences.push("That it stops while coasting does not rule out the wheel: the load went too.");
  return sentences.join(" ");
}
