// Body of a function of (kind, words, exact, ...roots): elements below the roots, each once. The roots are no list,
// because WebKit's driver hands elements over only as arguments of their own.
const [kind, words, exact, ...roots] = arguments;
const plain = (text) => (text ?? "").replace(/\s+/g, " ").trim();
const fits = (text) => (exact ? plain(text) === words : plain(text).toLowerCase().includes(words.toLowerCase()));
const below = (css) => [...new Set(roots.flatMap((root) => [...(root ?? document).querySelectorAll(css)]))];

if (kind === "css") return below(words);
if (kind === "label") {
  const named = below("input, select, textarea");
  return named.filter((field) => [...(field.labels ?? [])].some((label) => fits(label.textContent)) || fits(field.ariaLabel));
}
// The innermost elements whose text fits, or what they say between their children.
const between = (el) => [...el.childNodes].map((node) => (node.nodeType === Node.TEXT_NODE ? node.data : "\0")).join("").split("\0");
const says = (el) => fits(el.textContent) || between(el).some(fits);
const holds = below("body *").filter((el) => !el.closest("script, style") && says(el));
return holds.filter((el) => ![...el.children].some((child) => holds.includes(child)));
