/** Contrast of two colours (WCAG 2.2, relative luminance and contrast ratio). Colours as #rgb or #rrggbb. */
export function luminance(colour: string): number {
  const hex = colour.replace("#", "");
  const full = hex.length === 3 ? [...hex].map((c) => c + c).join("") : hex;
  const [r, g, b] = [0, 2, 4].map((i) => {
    const c = parseInt(full.slice(i, i + 2), 16) / 255;
    return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

export function contrast(one: string, other: string): number {
  const [a, b] = [luminance(one), luminance(other)].sort((x, y) => y - x) as [number, number];
  return (a + 0.05) / (b + 0.05);
}
