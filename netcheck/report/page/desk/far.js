"use strict";
/* How tall the things are that are not laid out yet, so that the page keeps its length. */

const far = (() => {
  const LINE_PX = 24;

  /* All are measured before any is changed: the page is laid out once. */
  function sized(elements) {
    const sizes = elements.map((one) => [one, Math.round(tall(one))]);
    for (const [one, px] of sizes) one.style.containIntrinsicBlockSize = `auto ${px}px`;
  }
  /* Pictures as wide as there is room for, and lines. */
  function tall(element) {
    const pictures = [...element.querySelectorAll("svg")].map((one) => one.viewBox.baseVal);
    const lines = element.querySelectorAll("tr, dd, h3").length;
    return pictures.reduce((sum, { width, height }) =>
      sum + (element.clientWidth * height) / width, lines * LINE_PX);
  }

  return { sized };
})();
