"""What a screen measures: size of its targets, contrast and size of its texts. Contrast as WCAG 2.2 defines it."""

TARGETS = """() => {
  const found = [];
  for (const el of document.querySelectorAll('button, a[href], input, select, textarea, summary')) {
    const box = el.getBoundingClientRect();
    if (!box.width || !box.height || !el.checkVisibility()) continue;
    const primary = el.matches('.go, .big');
    const least = primary ? 64 : 44;
    if (box.width < least - 0.5 || box.height < least - 0.5) {
      found.push(`${el.tagName.toLowerCase()}.${el.className} “${(el.innerText || el.ariaLabel || '').slice(0, 40)}” ` +
        `${box.width.toFixed(0)} × ${box.height.toFixed(0)}`);
    }
  }
  return found;
}"""

TEXTS = """() => {
  const rgb = (text) => (text.match(/[\\d.]+/g) || []).map(Number);
  const light = ([r, g, b]) => {
    const [x, y, z] = [r, g, b].map((c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * x + 0.7152 * y + 0.0722 * z;
  };
  const under = (el) => {
    for (let at = el; at; at = at.parentElement) {
      const colour = rgb(getComputedStyle(at).backgroundColor);
      if (colour.length === 3 || colour[3] === 1) return colour;
    }
    return [255, 255, 255];
  };
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const el = walk.currentNode.parentElement;
    const text = walk.currentNode.data.trim();
    if (!text || !el.checkVisibility() || el.closest('.sr, option, script, noscript')) continue;
    const style = getComputedStyle(el);
    const drawn = el instanceof SVGElement;
    const [a, b] = [light(rgb(drawn ? style.fill : style.color)), light(under(el))].sort((x, y) => y - x);
    const ratio = (a + 0.05) / (b + 0.05);
    const size = parseFloat(style.fontSize);
    if (ratio < 7) found.push(`“${text.slice(0, 40)}” ${ratio.toFixed(2)} to 1`);
    if (size < 13) found.push(`“${text.slice(0, 40)}” ${size} px`);
  }
  return [...new Set(found)];
}"""

OVERFLOW = """() => {
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (wide <= 0) return [];
  const right = document.documentElement.clientWidth + 1;
  return [...document.querySelectorAll('main *')]
    .filter((el) => !(el instanceof SVGElement) && el.getBoundingClientRect().right > right)
    .slice(0, 5).map((el) => `${el.tagName.toLowerCase()}.${el.className} “${(el.innerText || '').slice(0, 30)}”`);
}"""
