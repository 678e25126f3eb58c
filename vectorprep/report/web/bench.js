// One pairing laid out: both pictures with the places of its findings, its figures, its files, and what can be decided.
const STEP_MM = 5;
const STEP_SIZE = 0.05;
let opened = "";

function keyOf(artwork, strip, pair) {
  return [artwork.name, strip.product, pair.blank].join("\t");
}

function benchOf(artwork, strip, pair) {
  const blank = sheet.blanks[pair.blank];
  const name = `${artwork.title} on ${blank.name}, ${sheet.products[strip.product].name}`;
  const findings = [...artwork.findings, ...pair.findings].filter((number, index, all) => all.indexOf(number) === index);
  const loud = findings.filter((number) => sheet.findings[number].severity !== "note");
  const quiet = findings.filter((number) => sheet.findings[number].severity === "note");
  const bench = make("section", { class: "bench", "aria-label": name });
  const close = make("button", { type: "button", onclick: () => closeBench({ focus: true }) }, "Close");
  bench.append(
    make("header", {}, make("h4", { tabindex: "-1" }, `${blank.name}: ${artwork.title}`), close),
    viewsOf(artwork, strip, pair, findings),
    make("div", { class: "columns" },
      make("div", {}, make("h5", {}, "What decided"), factsOf(artwork, strip, pair), make("h5", {}, "Where it prints"), placeOf(strip), make("h5", {}, "Files"), filesOf(strip, pair)),
      make("div", {}, make("h5", {}, loud.length ? "Findings" : "No finding asks for attention"), marksOf(artwork, loud, findings),
        quiet.length ? make("details", {}, make("summary", {}, counted(quiet.length, "note")), marksOf(artwork, quiet, findings)) : "")),
    decisionsOf(artwork, strip, pair),
  );
  return bench;
}

function viewsOf(artwork, strip, pair, findings) {
  const views = make("div", { class: "views" });
  const isSame = strip.drawn === pair.picture || strip.drawn === null;
  const shown = sheet.verb === "audit" ? strip.drawn ?? pair.picture : pair.picture;
  if (!isSame) views.append(viewOf(artwork, pair, strip.drawn, "As drawn", `${pair.before}: ${pair.deciding_before}`, []));
  const words = isSame ? (pair.treatment === "as drawn" ? "As drawn" : "As printed") : `As printed: ${pair.treatment}`;
  const verdict = sheet.verb === "audit" ? pair.before : pair.after;
  views.append(viewOf(artwork, pair, shown, words, `${verdict}: ${pair.deciding}`, findings));
  return views;
}

function viewOf(artwork, pair, number, head, words, findings) {
  const blank = sheet.blanks[pair.blank];
  const ground = cloth(pair.blank);
  const image = picture(number, `${artwork.title} on ${blank.name}, ${head.toLowerCase()}`, false);
  const fit = make("span", { class: "fit" });
  if (number === null || number === undefined) fit.append(image);
  else {
    const [width, height] = sheet.pictures[number].size;
    const share = width >= height ? { width: "100%", "aspect-ratio": `${width} / ${height}` } : { height: "100%", "aspect-ratio": `${width} / ${height}` };
    fit.append(make("span", { class: "frame", style: share }, image, ringsOf(artwork, number, findings)));
  }
  ground.append(fit);
  return make("figure", {}, ground, make("figcaption", {}, make("b", {}, head), make("br"), words));
}

// A finding's place in a picture, in pixels of that picture; null where it names none or none that is shown.
function placeIn(artwork, number, finding) {
  if (!finding.place) return null;
  const { size, window: [x0, y0, x1, y1], ink } = sheet.pictures[number];
  let box = finding.place;
  if (finding.on === "print") box = [0, 1, 2, 3].map((i) => ((box[i] - [x0, y0][i % 2]) / [x1 - x0, y1 - y0][i % 2]) * size[i % 2]);
  else if (artwork.box) {
    const scale = (ink[2] - ink[0]) / (artwork.box[2] - artwork.box[0] || 1);
    box = [0, 1, 2, 3].map((i) => ink[i % 2] + (box[i] - artwork.box[i % 2]) * scale);
  } else return null;
  return box[2] < 0 || box[3] < 0 || box[0] > size[0] || box[1] > size[1] ? null : box;
}

function ringsOf(artwork, number, findings) {
  const [width, height] = sheet.pictures[number].size;
  const rings = drawn("svg", { class: "rings", viewBox: `0 0 ${width} ${height}`, "aria-hidden": "true" });
  findings.forEach((index, order) => {
    const finding = sheet.findings[index];
    const box = finding.severity === "note" && findings.length > 6 ? null : placeIn(artwork, number, finding);
    if (!box) return;
    const clip = (value, end) => Math.min(Math.max(value, 0), end);
    const [x0, y0, x1, y1] = [clip(box[0], width), clip(box[1], height), clip(box[2], width), clip(box[3], height)];
    const least = width / 28;
    const oval = { cx: (x0 + x1) / 2, cy: (y0 + y1) / 2, rx: Math.max(((x1 - x0) / 2) * 1.25, least), ry: Math.max(((y1 - y0) / 2) * 1.25, least) };
    const side = oval.cx > width / 2 ? -1 : 1;
    const tag = [clip(oval.cx + side * (oval.rx * 0.7 + 9), width), clip(oval.cy - oval.ry * 0.7 - 9, height)];
    rings.append(drawn("g", { "data-finding": index }, drawn("ellipse", { ...oval, class: "halo" }), drawn("ellipse", { ...oval, class: "line" }),
      drawn("circle", { cx: tag[0], cy: tag[1], r: 10 }), drawn("text", { x: tag[0], y: tag[1] }, String(order + 1))));
  });
  return rings;
}

function factsOf(artwork, strip, pair) {
  const facts = make("dl", { class: "facts" });
  const say = (term, ...words) => facts.append(make("dt", {}, term), make("dd", {}, ...words));
  if (sheet.verb === "audit") {
    say("Verdict", icon(pair.before), ` ${pair.before}, ${pair.figure}`);
    if (pair.before !== "clear") say("convert would", pair.after === pair.before ? "find no change that helps" : `${pair.treatment}: then ${pair.after}`);
  } else if (pair.state === "changed" || pair.treatment !== "as drawn") {
    say("As drawn", icon(pair.before), ` ${pair.before}, ${pair.figure_before}`);
    say("As made", icon(pair.after), ` ${pair.after}, ${pair.figure}`);
  } else say("Verdict", icon(pair.after), ` ${pair.after}, ${pair.figure}`);
  if (pair.how) say("Done", pair.how);
  if (pair.swaps.length) say("Inks", ...pair.swaps.map(([before, after, low, high]) => make("div", {}, dot(before), ` ${before} becomes `, dot(after), ` ${after}; contrast ${low}:1, then ${high}:1`)));
  for (const change of sheet.changes.filter((one) => one.artwork === artwork.name && one.product === strip.product && (!one.blank || one.blank === pair.blank)))
    say("Before this run", `${change.what}: ${change.old}, now ${change.new}${change.difference ? ` (${change.difference})` : ""}`);
  return facts;
}

function dot(colour) {
  return make("span", { class: "dot", style: { "--c": colour } });
}

function placeOf(strip) {
  const words = make("div", {}, make("p", {}, `Print size ${strip.size || "not known"}`), make("p", { class: "quiet" }, strip.position));
  if (!strip.place) return words;
  const [width, height] = strip.place.canvas;
  const plan = drawn("svg", { class: "spot", viewBox: `-2 -2 ${width + 4} ${height + 4}`, role: "img", "aria-label": "The ink's place on the print file",
    width: Math.min(280, (144 * width) / height), height: Math.min(144, (280 * height) / width) });
  plan.append(drawn("rect", { class: "sheet", width, height, "stroke-width": Math.max(width, height) / 140 }));
  for (const [x0, y0, x1, y1] of strip.place.ink) plan.append(drawn("rect", { class: "area", x: x0, y: y0, width: x1 - x0, height: y1 - y0 }));
  words.append(plan);
  return words;
}

function filesOf(strip, pair) {
  if (!pair.files.length) return make("p", { class: "quiet" }, "No file is made for this pairing.");
  return make("ul", {}, ...pair.files.map((number) => {
    const { href, words } = strip.files[number];
    return make("li", {}, make("a", { href, target: "_blank", rel: "noopener" }, words));
  }));
}

function marksOf(artwork, numbers, findings) {
  return make("ol", { class: "marks" }, ...numbers.map((number) => {
    const finding = sheet.findings[number];
    const text = sheet.checks[finding.check];
    const light = (on) => document.querySelectorAll(`.rings [data-finding="${number}"]`).forEach((ring) => ring.classList.toggle("on", on));
    const label = make("span", { class: "number", "aria-label": `Finding ${findings.indexOf(number) + 1}` }, String(findings.indexOf(number) + 1));
    return make("li", { onmouseenter: () => light(true), onmouseleave: () => light(false) }, label, make("div", {},
      make("p", {}, icon(finding.severity), make("b", {}, ` ${finding.severity} `), finding.message),
      finding.figure ? make("p", { class: "quiet" }, finding.figure) : "",
      finding.fix ? make("p", {}, `To mend it: ${finding.fix}`) : "",
      text ? make("details", { class: "quiet" }, make("summary", {}, `What ${finding.check} means`), make("p", {}, `${text.cause} ${text.consequence} ${text.remedy}`)) : ""));
  }));
}

// Closes what is open; the swatch that opened it has the focus again.
function closeBench({ focus = false } = {}) {
  document.querySelector(".rail .opened")?.remove();
  const button = document.querySelector('.swatch[aria-expanded="true"]');
  button?.setAttribute("aria-expanded", "false");
  if (focus) button?.focus();
  opened = "";
  rememberState();
}

function openBench(key, { focus = false } = {}) {
  const button = [...document.querySelectorAll(".swatch")].find((one) => one.dataset.key === key);
  if (!button) return;
  closeBench();
  const [name, product, blank] = key.split("\t");
  const artwork = artworkOf.get(name);
  const strip = artwork.strips.find((one) => one.product === product);
  button.setAttribute("aria-expanded", "true");
  seat(make("li", { class: "opened" }, benchOf(artwork, strip, strip.pairs.find((one) => one.blank === blank))), button);
  opened = key;
  rememberState();
  if (focus) button.focus();
}

// What is opened stands right below the row of its swatch, however many fit in a row.
function seat(opened, button) {
  let last = button.closest("li");
  const top = last.offsetTop;
  while (last.nextElementSibling?.offsetTop === top) last = last.nextElementSibling;
  last.after(opened);
}

window.addEventListener("resize", () => {
  const place = document.querySelector(".rail .opened");
  if (!place) return;
  const focus = place.contains(document.activeElement) ? document.activeElement : null;
  place.remove();
  seat(place, document.querySelector('.swatch[aria-expanded="true"]'));
  focus?.focus();
});
