// What a page looks like, by what the browser has computed: texts on what lies under them, edges, controls.
// It sees no pixels: overlaps are found by what elements are in each other, and in a drawing by what is under a text.
() => {
  const rgba = (text) => {
    const parts = (text.match(/[\d.]+%?/g) ?? []).map(Number);
    return text.startsWith("rgb") ? [parts[0], parts[1], parts[2], parts[3] ?? 1] : null;
  };
  const over = (top, under) => [0, 1, 2].map((n) => top[n] * top[3] + under[n] * (1 - top[3]));
  const mixed = (top, under, share) => top.map((value, n) => value * share + under[n] * (1 - share));
  const light = (colour) => {
    const [r, g, b] = colour.map((value) => {
      const part = value / 255;
      return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
    });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const contrast = (one, other) => {
    const [low, high] = [light(one), light(other)].sort((a, b) => a - b);
    return (high + 0.05) / (low + 0.05);
  };
  const shown = (element) => element.checkVisibility({ visibilityProperty: true, opacityProperty: true });
  const seen = (element) => {
    const box = element.getBoundingClientRect();
    return shown(element) && box.width > 1 && box.height > 1;
  };
  const upwards = (element) => (element ? [...upwards(element.parentElement), element] : []);
  const styles = new Map();
  const style = (element) => {
    if (!styles.has(element)) styles.set(element, getComputedStyle(element));
    return styles.get(element);
  };

  /** Every colour that the background of an element may show: its colour, and those of a pattern over it. */
  const grounds = (element, under) => {
    const held = style(element);
    const flat = over(rgba(held.backgroundColor) ?? [0, 0, 0, 0], under);
    const pattern = (held.backgroundImage.match(/rgba?\([^)]*\)/g) ?? []).map(rgba);
    return pattern.length ? pattern.map((colour) => over(colour, flat)) : [flat];
  };

  /** A colour on each ground that it may lie on, everything as pale as the elements around make it. */
  const layered = (element, ink, more = []) => {
    let found = [{ under: [255, 255, 255], groups: [] }];
    for (const step of upwards(element)) {
      const share = Number(style(step).opacity);
      found = found.flatMap((one) => {
        const groups = [...one.groups, { before: one.under, share }];
        const svg = step instanceof SVGElement && !(step instanceof SVGSVGElement);
        return (svg ? [one.under] : grounds(step, one.under)).map((under) => ({ under, groups }));
      });
    }
    for (const paint of more) found = found.map((one) => ({ ...one, under: over(paint, one.under) }));
    return found.map(({ under, groups }) => {
      let [front, back] = [over(ink, under), under];
      for (const { before, share } of groups.reverse()) {
        [front, back] = [mixed(front, before, share), mixed(back, before, share)];
      }
      return contrast(front, back);
    });
  };

  const shapes = new Map();
  /** Everything that is painted in a drawing, with where it is; looked up once. */
  const shapesOf = (root) => {
    if (!shapes.has(root)) {
      const found = [...root.querySelectorAll("path, rect, circle, ellipse, line, polyline, polygon")];
      const painted = found.filter((shape) => !shape.closest("defs, clipPath, pattern") && shown(shape));
      shapes.set(root, painted.map((shape) => ({ shape, box: shape.getBoundingClientRect() })));
    }
    return shapes.get(root);
  };

  /** What is painted under a point of a drawing before a text, as colours from the lowest to the highest. */
  const paintedUnder = (text, point) => {
    const found = [];
    const near = 3;
    for (const { shape, box } of shapesOf(text.ownerSVGElement)) {
      if (point.x < box.left - near || point.x > box.right + near) continue;
      if (point.y < box.top - near || point.y > box.bottom + near) continue;
      if (!(shape.compareDocumentPosition(text) & Node.DOCUMENT_POSITION_FOLLOWING)) continue;
      const here = point.matrixTransform(shape.getScreenCTM().inverse());
      const held = style(shape);
      const pale = upwards(shape).reduce((share, step) => share * Number(style(step).opacity), 1);
      for (const [hit, colour] of [[shape.isPointInFill(here), held.fill], [shape.isPointInStroke(here), held.stroke]]) {
        const paint = hit ? rgba(colour) : null;
        if (paint) found.push([paint[0], paint[1], paint[2], paint[3] * pale]);
      }
    }
    return found;
  };

  const inDrawing = (element) => {
    const box = element.getBoundingClientRect();
    const ink = rgba(style(element).fill);
    // Five places of the text, a little inside: one sign may stand on something else than the next.
    return [0.1, 0.3, 0.5, 0.7, 0.9].flatMap((part) => {
      const point = new DOMPoint(box.left + part * box.width, box.top + box.height / 2);
      return layered(element, ink, paintedUnder(element, point));
    });
  };

  const name = (element) => {
    const own = [...element.classList].map((word) => `.${word}`).join("");
    const words = (element.textContent || element.getAttribute("placeholder") || "").trim().replace(/\s+/g, " ");
    return `${element.tagName.toLowerCase()}${element.id ? `#${element.id}` : ""}${own} "${words.slice(0, 40)}"`;
  };

  const texts = [];
  for (const element of document.querySelectorAll("body, body *")) {
    const own = [...element.childNodes].some((node) => node.nodeType === Node.TEXT_NODE && node.data.trim());
    const inSvg = element instanceof SVGElement;
    if (element.closest("title, desc, option, template, script") || !seen(element)) continue;
    const written = element.matches("input:not([type=checkbox]), select") || own;
    if (!written || (inSvg && !element.closest("text"))) continue;
    const found = inSvg ? inDrawing(element) : layered(element, rgba(style(element).color));
    texts.push({ name: name(element), ratio: Math.min(...found), disabled: element.matches(":disabled") });
    if (element.placeholder && !element.value) {
      const held = getComputedStyle(element, "::placeholder");
      const ink = rgba(held.color);
      const ratio = Math.min(...layered(element, [ink[0], ink[1], ink[2], ink[3] * Number(held.opacity)]));
      texts.push({ name: `placeholder of ${name(element)}`, ratio, disabled: false });
    }
  }

  /** The edge of a thing against what it lies on, or its own ground where that does better. */
  const edge = (element) => {
    const held = style(element);
    const border = parseFloat(held.borderTopWidth) && held.borderTopStyle !== "none" ? rgba(held.borderTopColor) : null;
    const outside = element.parentElement;
    const found = [];
    if (border) found.push(Math.min(...layered(outside, border)));
    const ground = rgba(held.backgroundColor);
    if (ground && ground[3] > 0) found.push(Math.min(...layered(outside, ground)));
    return Math.max(1, ...found);
  };
  const edges = [];
  for (const element of document.querySelectorAll("button, .button, input, select, .step, .row, .band, .kept-line, dialog")) {
    if (seen(element)) edges.push({ name: name(element), ratio: edge(element) });
  }
  // Of a picture one shape has to stand out, its outline: what is inside of that may be of any colour.
  for (const group of document.querySelectorAll(".lug svg, .run svg, #drawing [data-standing]")) {
    if (!seen(group)) continue;
    // The boxes of labels are no part of the wire.
    const parts = [...group.querySelectorAll("*:not(rect[rx])")];
    const shapes = parts.filter((one) => one instanceof SVGGeometryElement && shown(one));
    const onEach = [];
    for (const shape of shapes) {
      for (const ink of [style(shape).stroke, style(shape).fill].map(rgba)) {
        if (ink) layered(shape, ink).forEach((ratio, n) => (onEach[n] = Math.max(onEach[n] ?? 1, ratio)));
      }
    }
    edges.push({ name: `${group.dataset.about ?? "picture"} in ${name(group.parentElement)}`, ratio: Math.min(...onEach) });
  }

  const controls = [];
  for (const element of document.querySelectorAll("a[href], button, input, select, [tabindex='0']")) {
    const held = element.matches("input[type=checkbox]") ? element.closest("label") : element;
    if (!seen(held) || element.matches(".skip")) continue;
    const box = held.getBoundingClientRect();
    controls.push({ name: name(element), width: box.width, height: box.height, lug: element.matches(".lug") });
  }

  const lugs = [];
  for (const lug of document.querySelectorAll("button.lug")) {
    if (!seen(lug)) continue;
    const held = style(lug);
    const after = getComputedStyle(lug, "::after");
    const picture = lug.querySelector("svg").innerHTML.replace(/<text.*?<\/text>/g, "").replace(/(fill|stroke)="#[^"]*"/g, "");
    lugs.push({
      state: [...lug.classList].find((word) => word === "is-kept") ?? [...lug.classList].find((word) => word.startsWith("is-")),
      end: lug.dataset.end,
      shape: [held.borderTopStyle, held.borderTopWidth, held.borderTopLeftRadius, held.backgroundImage !== "none", after.content !== "none"].join(" "),
      picture,
      words: lug.querySelector(".lug-words").textContent,
    });
  }
  return { texts, edges, controls, lugs };
}
