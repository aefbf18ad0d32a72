"use strict";
/* Pieces of the page.  Every word comes in as text, never as markup. */

const make = (name, attributes = {}, ...contents) => {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (key === "does") made.addEventListener("click", value);
    else made.setAttribute(key, value);
  }
  made.append(...contents);
  return made;
};
const button = (text, does, attributes = {}) =>
  make("button", { type: "button", ...attributes, does }, text);
const group = (title, ...contents) =>
  make("details", { class: "group", open: "" }, make("summary", {}, title), ...contents);
/* Text is only touched where it differs: a page of thousands stays quick. */
const say = (element, text) => {
  if (element.textContent !== text) element.textContent = text;
};
/* What hides or turns the reading direction is shown as such. */
const plain = (text) => text.replace(/[\p{Cc}\p{Cf}\p{Cs}\p{Co}\p{Cn}\p{Zl}\p{Zp}]/gu, "\uFFFD");
