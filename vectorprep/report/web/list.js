// The list of drawings: filtered, filled as it comes into view, walked by keys, printed as a table.
const state = { product: "", verdicts: [], finding: "", name: "", since: false };
const touched = new Set(sheet.changes.map((change) => [change.artwork, change.product, change.blank].join("\t")));
const list = document.getElementById("list");
let shown = [];
let filler = null;

function isTouched(artwork, strip, pair) {
  return touched.has([artwork.name, strip.product, pair.blank].join("\t")) || touched.has([artwork.name, strip.product, ""].join("\t")) || touched.has([artwork.name, "", ""].join("\t"));
}

function fits(artwork, strip, pair) {
  if (state.verdicts.length && !state.verdicts.includes(pair.state)) return false;
  if (state.finding && ![...artwork.findings, ...pair.findings].some((number) => sheet.findings[number].check === state.finding)) return false;
  return !state.since || isTouched(artwork, strip, pair);
}

function filtered() {
  const wanted = state.name.trim().toLowerCase();
  const found = [];
  for (const artwork of sheet.artworks) {
    if (wanted && !`${artwork.title} ${artwork.name} ${artwork.path}`.toLowerCase().includes(wanted)) continue;
    const strips = artwork.strips
      .filter((strip) => !state.product || strip.product === state.product)
      .map((strip) => ({ strip, pairs: strip.pairs.filter((pair) => fits(artwork, strip, pair)) }))
      .filter(({ pairs }) => pairs.length);
    const isStopped = artwork.error && !state.product && !state.verdicts.length && (!state.finding || state.finding === artwork.error.code) && !state.since;
    if (strips.length || isStopped) found.push({ artwork, strips });
  }
  return found;
}

// Sections are laid out as far as a window shows at once, the rest while the browser has time.
const AT_ONCE = 12;
const IN_TURN = 60;

function showList() {
  shown = filtered();
  filler?.disconnect();
  filler = new IntersectionObserver((seen) => seen.filter((one) => one.isIntersecting).forEach((one) => fill(one.target)), { rootMargin: "700px 0px" });
  list.replaceChildren();
  layOut(AT_ONCE);
  if (list.firstElementChild) fill(list.firstElementChild);
  const mine = shown;
  (function goOn() {
    if (mine === shown && list.children.length < shown.length) setTimeout(() => { if (mine === shown) layOut(list.children.length + IN_TURN); goOn(); });
  })();
  const pairs = shown.reduce((sum, { strips }) => sum + strips.reduce((inner, strip) => inner + strip.pairs.length, 0), 0);
  const all = STATES.reduce((sum, one) => sum + sheet.counts[one], 0);
  document.getElementById("status").textContent = shown.length
    ? `${pairs === all ? `All ${all}` : `${pairs} of ${all}`} pairings, ${counted(shown.length, "drawing")}; worst first.`
    : "Nothing fits these filters.";
}

function layOut(end) {
  const sections = shown.slice(list.children.length, end).map((entry, index) => sectionOf(entry, list.children.length + index));
  list.append(...sections);
  sections.forEach((section) => filler.observe(section));
}

function sectionOf(entry, index) {
  const rows = entry.strips.reduce((sum, { pairs }) => sum + 1 + Math.ceil(pairs.length / 7), 0);
  return make("article", { class: "drawing", "data-index": String(index), style: { "contain-intrinsic-height": `auto ${80 + 130 * rows}px` }, "aria-labelledby": `drawing-${index}` },
    make("div", { class: "card" }, make("h2", { id: `drawing-${index}` }, entry.artwork.title)));
}

function fill(section) {
  if (section.dataset.filled) return;
  section.dataset.filled = "yes";
  filler.unobserve(section);
  const { artwork, strips } = shown[Number(section.dataset.index)];
  section.querySelector(".card").append(...cardOf(artwork));
  section.append(make("div", {}, ...strips.map(({ strip, pairs }) => stripOf(artwork, strip, pairs))));
}

function cardOf(artwork) {
  const parts = [make("p", { class: "quiet" }, artwork.path)];
  if (artwork.error) parts.push(make("div", { class: "halt" }, make("p", {}, icon("stop"), make("b", {}, ` ${artwork.status}: `), artwork.error.message), make("p", {}, artwork.error.fix)));
  const bad = STATES.filter((one) => artwork.counts[one]);
  if (bad.length) parts.push(make("p", { class: "tally" }, ...bad.map((one) => make("span", {}, icon(one), ` ${artwork.counts[one]} ${one}`))));
  if (artwork.inks.length) parts.push(make("p", { class: "inks", role: "img", "aria-label": `Inks: ${artwork.inks.map((ink) => ink.word).join(", ")}` }, ...artwork.inks.map((ink) => dot(ink.colour))));
  for (const number of artwork.findings) {
    const finding = sheet.findings[number];
    if (finding.severity !== "note") parts.push(make("p", { class: "problem" }, icon(finding.severity), make("span", {}, `${finding.severity}: ${finding.message}`)));
  }
  return parts;
}

function stripOf(artwork, strip, pairs) {
  const product = sheet.products[strip.product];
  const common = pairs[0].findings.filter((number) => !sheet.findings[number].blank && sheet.findings[number].severity !== "note" && pairs.every((pair) => pair.findings.includes(number)));
  return make("section", { class: "strip" },
    make("h3", {}, `${product.name} `, make("span", {}, strip.size)),
    ...common.map((number) => make("p", { class: "problem" }, icon(sheet.findings[number].severity), make("span", {}, `${sheet.findings[number].severity}: ${sheet.findings[number].message}`))),
    make("ul", { class: "rail", role: "list" }, ...pairs.map((pair, index) => make("li", {}, swatchOf(artwork, strip, pair, index === 0)))));
}

function swatchOf(artwork, strip, pair, isFirst) {
  const blank = sheet.blanks[pair.blank];
  const key = keyOf(artwork, strip, pair);
  const ground = cloth(pair.blank);
  ground.append(make("span", { class: "fit" }, picture(pair.picture, "", true)));
  const own = pair.findings.map((number) => sheet.findings[number]).filter((finding) => finding.severity !== "note" && finding.blank);
  return make("button", { type: "button", class: "swatch", "data-key": key, "aria-expanded": "false", tabindex: isFirst ? "0" : "-1", onclick: () => (opened === key ? closeBench({ focus: true }) : openBench(key, { focus: true })) },
    ground, make("span", { class: "name" }, blank.name),
    make("span", { class: "said" }, icon(pair.state), make("span", {}, make("b", { class: pair.state }, pair.state), `, ${pair.figure}`)),
    pair.state === "changed" ? make("span", { class: "was" }, pair.treatment) : "",
    own.length ? make("span", { class: "was" }, icon(own[0].severity), ` ${own[0].check}`) : "",
    isTouched(artwork, strip, pair) ? make("span", { class: "was" }, "new since the run before") : "",
    make("span", { class: "put", hidden: !hasOwn(artwork.name, strip.product, pair.blank) }, "decided"));
}

function hasOwn(name, product, blank) {
  const { on, colours, ...everywhere } = decided[name] || {};
  return Boolean(Object.keys(everywhere).length || on?.[product] || colours?.[blank]);
}

function markDecided(name) {
  for (const button of document.querySelectorAll(".swatch")) {
    const [artwork, product, blank] = button.dataset.key.split("\t");
    if (artwork === name) button.querySelector(".put").hidden = !hasOwn(artwork, product, blank);
  }
}

// The filters.
function showControls() {
  const tape = make("div", { class: "tape", role: "group", "aria-label": "Show verdicts" }, ...STATES.map((one) => {
    const button = make("button", { type: "button", "aria-pressed": "false", "data-state": one, class: one, disabled: !sheet.counts[one], style: { "flex-grow": String(sheet.counts[one]) },
      onclick: () => { state.verdicts = toggled(state.verdicts, one, !state.verdicts.includes(one)); apply(); } }, icon(one), make("b", {}, String(sheet.counts[one])), ` ${one}`);
    return button;
  }).filter((button) => sheet.verb !== "audit" || button.dataset.state !== "changed"));
  const severity = (check) => Math.min(...sheet.findings.filter((finding) => finding.check === check).map((finding) => ["error", "warning", "note"].indexOf(finding.severity)));
  const checks = [...new Set(sheet.findings.map((finding) => finding.check))].map((check) => [severity(check), check]).sort((a, b) => a[0] - b[0] || (a[1] < b[1] ? -1 : 1));
  const select = (id, words, options) => make("label", { for: id }, words, make("select", { id, onchange: (event) => { state[id] = event.target.value; apply(); } }, make("option", { value: "" }, "all"), ...options));
  const name = make("input", { id: "name", type: "search", autocomplete: "off", oninput: (event) => { state.name = event.target.value; apply(); } });
  const since = make("input", { id: "since", type: "checkbox", onchange: (event) => { state.since = event.target.checked; apply(); } });
  const light = make("select", { id: "light", onchange: (event) => setLight(event.target.value) }, ...["as the system", "light", "dark"].map((one) => make("option", { value: one }, one)));
  document.getElementById("controls").replaceChildren(tape, make("form", { class: "filters", role: "search", onsubmit: (event) => event.preventDefault() },
    make("label", { for: "name" }, "Name", name),
    select("product", "Product", Object.entries(sheet.products).map(([key, product]) => make("option", { value: key }, product.name))),
    select("finding", "Finding", checks.map(([rank, check]) => make("option", { value: check }, `${check} (${["error", "warning", "note"][rank]})`))),
    make("label", { for: "light" }, "Light", light),
    sheet.changes.length ? make("label", { class: "tick" }, since, "only what changed since the run before") : "",
    make("button", { type: "button", id: "reset", onclick: () => { Object.assign(state, { product: "", verdicts: [], finding: "", name: "", since: false }); apply(); name.focus(); } }, "Show all"),
    make("button", { type: "button", id: "print", onclick: printed }, "Print")),
  make("p", { class: "keys" }, "In the list: ", make("kbd", {}, "←"), " ", make("kbd", {}, "→"), " along a row, ", make("kbd", {}, "↑"), " ", make("kbd", {}, "↓"), " between rows, ",
    make("kbd", {}, "Enter"), " opens, ", make("kbd", {}, "Esc"), " closes, ", make("kbd", {}, "n"), " next that is lost or weak, ", make("kbd", {}, "/"), " name."));
  setLight(memory.read("light") || "as the system");
}

function setLight(light) {
  document.getElementById("light").value = light;
  memory.write("light", light === "as the system" ? "" : light);
  if (light === "as the system") delete document.documentElement.dataset.light;
  else document.documentElement.dataset.light = light;
}

function apply() {
  opened = "";
  showState();
  showList();
  rememberState();
}

function showState() {
  for (const button of document.querySelectorAll(".tape button")) button.setAttribute("aria-pressed", String(state.verdicts.includes(button.dataset.state)));
  for (const key of ["product", "finding", "name"]) document.getElementById(key).value = state[key];
  const since = document.getElementById("since");
  if (since) since.checked = state.since;
}

function rememberState() {
  const words = new URLSearchParams();
  if (state.verdicts.length) words.set("verdict", state.verdicts.join(","));
  for (const key of ["product", "finding", "name"]) if (state[key]) words.set(key, state[key]);
  if (state.since) words.set("since", "1");
  if (opened) words.set("open", opened);
  const hash = words.toString();
  if (location.hash.slice(1) !== hash) history.replaceState(null, "", `#${hash}`);
}

function readState() {
  const words = new URLSearchParams(location.hash.slice(1));
  Object.assign(state, { product: words.get("product") || "", finding: words.get("finding") || "", name: words.get("name") || "", since: words.get("since") === "1",
    verdicts: (words.get("verdict") || "").split(",").filter((one) => STATES.includes(one)) });
  if (!(state.product in sheet.products)) state.product = "";
  const wanted = words.get("open");
  showState();
  showList();
  if (!wanted) return;
  const index = shown.findIndex(({ artwork }) => artwork.name === wanted.split("\t")[0]);
  if (index < 0) return;
  layOut(index + 1);
  fill(list.children[index]);
  openBench(wanted);
  list.querySelector('[aria-expanded="true"]')?.scrollIntoView({ block: "start" });
}

// Keys count only while the focus is in the list (WCAG 2.2, 2.1.4).
function walked(event) {
  if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.key === "Escape" && opened) { closeBench({ focus: true }); event.preventDefault(); return; }
  if (event.target.matches("input, select, textarea")) return;
  if (event.key === "/") { document.getElementById("name").focus(); event.preventDefault(); return; }
  if (event.key === "n") { nextBad(event.target); event.preventDefault(); return; }
  if (!event.target.matches(".swatch")) return;
  const row = [...event.target.closest(".rail").querySelectorAll(".swatch")];
  const at = row.indexOf(event.target);
  const along = { ArrowRight: at + 1, ArrowLeft: at - 1, Home: 0, End: row.length - 1 }[event.key];
  if (along !== undefined) { reach(row[along]); event.preventDefault(); }
  const across = { ArrowDown: 1, ArrowUp: -1 }[event.key];
  if (across) { reach(rowBeside(event.target, across)); event.preventDefault(); }
}

function rowBeside(button, step) {
  const section = button.closest(".drawing");
  const rows = [...section.querySelectorAll(".rail")];
  const beside = rows[rows.indexOf(button.closest(".rail")) + step];
  if (beside) return beside.querySelector(".swatch");
  for (let next = step > 0 ? section.nextElementSibling : section.previousElementSibling; next; next = step > 0 ? next.nextElementSibling : next.previousElementSibling) {
    fill(next);
    const rails = next.querySelectorAll(".rail");
    if (rails.length) return rails[step > 0 ? 0 : rails.length - 1].querySelector(".swatch");
  }
  return null;
}

function reach(button) {
  if (!button) return;
  for (const other of button.closest(".rail").querySelectorAll(".swatch")) other.tabIndex = other === button ? 0 : -1;
  button.focus();
}

function nextBad(from) {
  const isBad = (button) => button.querySelector("b.lost, b.weak");
  const here = from.closest(".drawing");
  const rest = here ? [...here.querySelectorAll(".swatch")].filter((one) => from.compareDocumentPosition(one) & Node.DOCUMENT_POSITION_FOLLOWING) : [];
  let found = rest.find(isBad);
  for (let next = here ? here.nextElementSibling : list.firstElementChild; !found && next; next = next.nextElementSibling) {
    const { artwork } = shown[Number(next.dataset.index)];
    if (!artwork.counts.lost && !artwork.counts.weak) continue;
    fill(next);
    found = [...next.querySelectorAll(".swatch")].find(isBad);
  }
  reach(found);
}

// Paper gets a table of what the filters show: rows whole, head repeated; colours of which the same is said share a row.
function layPaper() {
  const head = ["Drawing and product", "Verdict", "Product colours", "Findings"];
  const widths = ["21%", "15%", "66mm", ""];
  const rows = shown.flatMap(({ artwork, strips }) => [
    ...(artwork.error ? [make("tr", {}, make("th", { scope: "row" }, make("b", {}, artwork.title)), make("td", {}, icon("stop"), ` ${artwork.status}`), make("td", { colspan: "2" }, `${artwork.error.message}. ${artwork.error.fix}`))] : []),
    ...strips.flatMap(({ strip, pairs }) => alike(artwork, pairs).map((group) => paperRow(artwork, strip, group)))]);
  document.getElementById("paper").replaceChildren(make("table", {}, make("colgroup", {}, ...widths.map((width) => make("col", { style: { width } }))),
    make("thead", {}, make("tr", {}, ...head.map((words) => make("th", { scope: "col" }, words)))), make("tbody", {}, ...rows)));
}

function loudOf(artwork, pair) {
  const findings = [...artwork.findings, ...pair.findings].map((number) => sheet.findings[number]);
  return findings.filter((finding) => finding.severity !== "note");
}

function alike(artwork, pairs) {
  const groups = new Map();
  for (const pair of pairs) {
    const key = JSON.stringify([pair.state, pair.treatment, pair.before, loudOf(artwork, pair).map((finding) => finding.message)]);
    groups.set(key, [...(groups.get(key) || []), pair]);
  }
  return [...groups.values()];
}

function paperRow(artwork, strip, pairs) {
  const [first] = pairs;
  const swatches = pairs.map((pair) => {
    const ground = cloth(pair.blank);
    ground.append(make("span", { class: "fit" }, picture(pair.picture, "", false)));
    return make("li", {}, ground, make("div", {}, make("b", {}, sheet.blanks[pair.blank].name)), make("div", {}, pair.figure));
  });
  return make("tr", {},
    make("th", { scope: "row" }, make("p", {}, make("b", {}, artwork.title)), make("p", {}, sheet.products[strip.product].name), make("p", {}, strip.size)),
    make("td", {}, make("p", {}, icon(first.state), make("b", {}, ` ${first.state}`)), make("p", {}, first.treatment), first.state === "changed" ? make("p", {}, `before: ${first.before}`) : ""),
    make("td", {}, make("ul", { role: "list" }, ...swatches)),
    make("td", {}, ...loudOf(artwork, first).map((finding) => make("p", {}, icon(finding.severity), ` ${finding.message}`))));
}

async function printed() {
  layPaper();
  await Promise.allSettled([...document.querySelectorAll("#paper img")].map((image) => image.decode()));
  window.print();
}

function showChanges() {
  if (!sheet.changes.length) return;
  const titles = (name) => artworkOf.get(name)?.title || name;
  const rows = sheet.changes.slice(0, 200).map((change) => make("tr", {}, make("td", {}, titles(change.artwork)), make("td", {}, sheet.products[change.product]?.short || change.product),
    make("td", {}, sheet.blanks[change.blank]?.name || ""), make("td", {}, change.what), make("td", {}, change.old), make("td", {}, change.new), make("td", {}, change.difference)));
  const head = ["Drawing", "Product", "Colour", "What", "Before", "Now", "Difference"];
  const scroll = make("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Changes" },
    make("table", {}, make("thead", {}, make("tr", {}, ...head.map((words) => make("th", { scope: "col" }, words)))), make("tbody", {}, ...rows)),
    sheet.changes.length > rows.length ? make("p", {}, `and ${sheet.changes.length - rows.length} more`) : "");
  document.getElementById("changes").append(make("details", { class: "since", open: sheet.changes.length <= 12 }, make("summary", {}, `${counted(sheet.changes.length, "change")} since the run before`), scroll));
}

showControls();
showChanges();
readState();
showTray();
list.addEventListener("keydown", walked);
window.addEventListener("hashchange", readState);
window.addEventListener("beforeprint", layPaper);
window.addEventListener("afterprint", () => document.getElementById("paper").replaceChildren());
