"use strict";
// The values of the sheet, and the few words that everything below is written in.
const sheet = JSON.parse(document.getElementById("data").textContent);
const STATES = ["lost", "weak", "changed", "clear"];
const SVG = "http://www.w3.org/2000/svg";

function make(tag, attributes, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes || {})) {
    if (value === false || value === null || value === undefined) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "style") for (const [key, text] of Object.entries(value)) element.style.setProperty(key, text);
    else if (name in element && typeof value === "boolean") element[name] = value;
    else element.setAttribute(name, value);
  }
  element.append(...children.flat().filter((child) => child !== null && child !== undefined && child !== ""));
  return element;
}

function drawn(tag, attributes, ...children) {
  const element = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) element.setAttribute(name, value);
  element.append(...children);
  return element;
}

function icon(name) {
  return drawn("svg", { class: `icon ${name}`, "aria-hidden": "true", focusable: "false" }, drawn("use", { href: `#s-${name}` }));
}

function counted(number, word, words) {
  return `${number} ${number === 1 ? word : words || word + "s"}`;
}

function lengthWords(mm) {
  const short = (value, digits) => String(Number(value.toFixed(digits)));
  return `${short(mm / 25.4, 2)} in (${short(mm, 1)} mm)`;
}

function cloth(blank) {
  const found = sheet.blanks[blank];
  return make("span", { class: `cloth ${found.texture}`, style: { "--cloth": found.colour } });
}

function picture(number, words, lazy) {
  if (number === null || number === undefined) return make("span", { class: "none" }, "no picture");
  const { src, size } = sheet.pictures[number];
  return make("img", { src, width: size[0], height: size[1], alt: words, loading: lazy ? "lazy" : "eager", decoding: "async" });
}

// What was remembered in this browser, where it allows that for files.
const memory = {
  read(key) {
    try { return localStorage.getItem(`vectorprep ${key}`); } catch { return null; }
  },
  write(key, text) {
    try {
      if (text) localStorage.setItem(`vectorprep ${key}`, text);
      else localStorage.removeItem(`vectorprep ${key}`);
    } catch { /* without it decisions last until the page is closed */ }
  },
};
