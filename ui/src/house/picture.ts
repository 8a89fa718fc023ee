// A drawing of the page as a file of its own: what the style sheet gives is written into each element.

const KEPT = ['fill', 'stroke', 'stroke-width', 'stroke-dasharray', 'stroke-linecap', 'opacity', 'font-family', 'font-size', 'font-weight', 'text-anchor', 'dominant-baseline', 'paint-order'] as const;

/** The drawing as SVG text, on the colour of the paper that it was drawn on. */
export function standalone(drawn: SVGSVGElement, title: string): string {
  const copy = drawn.cloneNode(true) as SVGSVGElement;
  const originals = [drawn, ...drawn.querySelectorAll<SVGElement>('*')];
  [copy, ...copy.querySelectorAll<SVGElement>('*')].forEach((element, i) => {
    const style = getComputedStyle(originals[i] ?? drawn);
    for (const name of KEPT) if (style.getPropertyValue(name)) element.setAttribute(name, style.getPropertyValue(name));
    if (style.display === 'none') element.setAttribute('display', 'none');
    for (const name of ['class', 'style', 'tabindex', 'aria-label', 'role']) element.removeAttribute(name);
  });
  const [x = 0, y = 0, width = 100, height = 100] = (drawn.getAttribute('viewBox') ?? '').split(/\s+/).map(Number);
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  copy.setAttribute('width', String(Math.round(width)));
  copy.setAttribute('height', String(Math.round(height)));
  const named = document.createElementNS('http://www.w3.org/2000/svg', 'title');
  named.textContent = title;
  const paper = document.createElementNS('http://www.w3.org/2000/svg', 'rect');
  for (const [name, value] of [['x', x], ['y', y], ['width', width], ['height', height], ['fill', getComputedStyle(document.body).backgroundColor]] as const) paper.setAttribute(name, String(value));
  copy.prepend(named, paper);
  return new XMLSerializer().serializeToString(copy);
}
