"use strict";
/* What stands in the page as data becomes the live page. */

far.sized([...document.querySelectorAll(".far")]);

const live = (() => {
  const root = document.getElementById("live-desk");
  const data = document.getElementById("live-data");
  return root && data ? new LivePage(root, JSON.parse(data.textContent)) : null;
})();
