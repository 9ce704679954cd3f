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
  const light = (colour) => {
    const [x, y, z] = colour.map((c) => (c / 255 <= 0.04045 ? c / 255 / 12.92 : ((c / 255 + 0.055) / 1.055) ** 2.4));
    return 0.2126 * x + 0.7152 * y + 0.0722 * z;
  };
  const ancestors = (el) => { const all = []; for (let at = el; at; at = at.parentElement) all.push(at); return all; };
  const under = (el) => {
    const colours = ancestors(el).map((at) => rgb(getComputedStyle(at).backgroundColor));
    return (colours.find((c) => c.length === 3 || c[3] === 1) || [255, 255, 255]).slice(0, 3);
  };
  const found = new Set();
  const judge = (el, text, colour, fontSize) => {
    const [r, g, b, alpha = 1] = rgb(colour);
    const ground = under(el);
    const seen = ancestors(el).reduce((part, at) => part * Number(getComputedStyle(at).opacity), alpha);
    const shown = [r, g, b].map((c, i) => seen * c + (1 - seen) * ground[i]);
    const [high, low] = [light(shown), light(ground)].sort((x, y) => y - x);
    const ratio = (high + 0.05) / (low + 0.05);
    const size = parseFloat(fontSize);
    if (ratio < 7) found.add(`“${text.slice(0, 40)}” ${ratio.toFixed(2)} to 1`);
    if (size < 13) found.add(`“${text.slice(0, 40)}” ${size} px`);
  };
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const el = walk.currentNode.parentElement;
    const text = walk.currentNode.data.trim();
    if (!text || !el.checkVisibility() || el.closest('.sr, option, script, noscript, textarea')) continue;
    const style = getComputedStyle(el);
    judge(el, text, el instanceof SVGElement ? style.fill : style.color, style.fontSize);
  }
  const fields = 'input:not([type=checkbox], [type=radio], [type=file]), select, textarea';
  for (const el of document.querySelectorAll(fields)) {
    if (!el.checkVisibility()) continue;
    const style = getComputedStyle(el, el.value || !el.placeholder ? null : '::placeholder');
    judge(el, el.value || el.placeholder || 'what is typed', style.color, getComputedStyle(el).fontSize);
  }
  return [...found];
}"""

OVERFLOW = """() => {
  const wide = document.documentElement.scrollWidth - document.documentElement.clientWidth;
  if (wide <= 0) return [];
  const right = document.documentElement.clientWidth + 1;
  return [...document.querySelectorAll('main *')]
    .filter((el) => !(el instanceof SVGElement) && el.getBoundingClientRect().right > right)
    .slice(0, 5).map((el) => `${el.tagName.toLowerCase()}.${el.className} “${(el.innerText || '').slice(0, 30)}”`);
}"""
