// Texts that lie on others, texts that leave their sheet or drawing, texts that are cut. A line of text is one box, trimmed
// by a fifth above and below, since the box of a font is taller than its letters.
(() => {
  const out = [];
  const boxes = [];
  const short = text => JSON.stringify(text.trim().replace(/\s+/g, ' ').slice(0, 60));
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const parent = node.parentElement;
    if (!node.data.trim() || parent.closest('script,style,title,desc')) continue;
    const svg = parent.closest('svg');
    const range = document.createRange();
    range.selectNodeContents(node);
    const rects = svg ? [parent.getBoundingClientRect()] : [...range.getClientRects()];
    const sheet = parent.closest('.sheet').getBoundingClientRect();
    const frame = (svg || parent.closest('.sheet')).getBoundingClientRect();
    // On a phone a sheet scrolls sideways.
    const scroll = parent.closest('.scroll');
    const scrolls = scroll && getComputedStyle(scroll).overflowX === 'auto';
    for (const r of rects) {
      if (r.width < 1 || r.height < 1) continue;
      const isAside = r.left < frame.left - 1 || r.right > frame.right + 1;
      if ((isAside && (svg || !scrolls)) || r.top < frame.top - 1 || r.bottom > frame.bottom + 1)
        out.push('leaves its sheet: ' + short(node.data));
      else if (!scrolls && r.right > sheet.right + 1) out.push('leaves its page: ' + short(node.data));
      const trim = r.height / 5;
      boxes.push({ left: r.left + .5, right: r.right - .5, top: r.top + trim, bottom: r.bottom - trim, node });
    }
    for (let at = parent; at && at !== document.body && !svg; at = at.parentElement) {
      const style = getComputedStyle(at);
      const cuts = style.overflowX !== 'visible' || style.overflowY !== 'visible';
      if (cuts && !(scrolls && at === scroll) && (at.scrollWidth > at.clientWidth + 1 || at.scrollHeight > at.clientHeight + 1))
        out.push('is cut: ' + short(node.data));
    }
  }
  boxes.sort((a, b) => a.top - b.top);
  for (let i = 0; i < boxes.length; i++) {
    for (let k = i + 1; k < boxes.length && boxes[k].top < boxes[i].bottom; k++) {
      const a = boxes[i], b = boxes[k];
      const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (across > .5 && down > .5 && a.node !== b.node) out.push('lies on another: ' + short(a.node.data) + ' and ' + short(b.node.data));
    }
  }
  const pre = document.createElement('pre');
  pre.id = 'measured';
  pre.textContent = out.join('\n') + '\nmeasured ' + boxes.length + ' texts';
  document.body.append(pre);
})();
