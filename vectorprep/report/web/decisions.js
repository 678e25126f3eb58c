// What the seller decides here, as the settings text that says it.
const saved = `decisions ${sheet.id}`;
let decided = {};
try { decided = JSON.parse(memory.read(saved)) || {}; } catch { decided = {}; }

const artworkOf = new Map(sheet.artworks.map((artwork) => [artwork.name, artwork]));

// The value now in force at a path such as ["on", product, "nudge_mm"]: decided here, else from the settings.
function inForce(name, path, otherwise) {
  for (const source of [decided[name], artworkOf.get(name).answers]) {
    let value = source;
    for (const key of path) value = value?.[key];
    if (value !== undefined && value !== null) return value;
  }
  return otherwise;
}

function decide(name, path, value) {
  let place = (decided[name] ||= {});
  for (const key of path.slice(0, -1)) place = place[key] ||= {};
  if (value === undefined) delete place[path.at(-1)];
  else place[path.at(-1)] = value;
  prune(decided);
  memory.write(saved, Object.keys(decided).length ? JSON.stringify(decided) : "");
  showTray();
  markDecided(name);
}

function prune(table) {
  for (const [key, value] of Object.entries(table)) {
    if (value && typeof value === "object" && !Array.isArray(value)) {
      prune(value);
      if (!Object.keys(value).length) delete table[key];
    }
  }
}

function toggled(list, item, on) {
  return on ? [...new Set([...list, item])] : list.filter((other) => other !== item);
}

function countOf(table) {
  return Object.values(table).reduce((sum, value) => sum + (value && typeof value === "object" && !Array.isArray(value) ? countOf(value) : 1), 0);
}

const LENGTHS = { width_mm: "width", nudge_mm: "nudge" };

function tomlText(text) {
  return JSON.stringify(text).replaceAll("\u007f", "\\u007f");
}

function tomlValue(key, value) {
  const mm = (length) => tomlText(`${Number(length.toFixed(2))}mm`);
  if (key in LENGTHS) return Array.isArray(value) ? `[${value.map(mm).join(", ")}]` : mm(value);
  return Array.isArray(value) ? `[${value.map(tomlText).join(", ")}]` : tomlText(value);
}

function tomlTable(path, table, first) {
  const own = Object.entries(table).filter(([, value]) => typeof value !== "object" || Array.isArray(value));
  const below = Object.entries(table).filter(([, value]) => typeof value === "object" && !Array.isArray(value));
  const lines = [...first, ...own.map(([key, value]) => `${key.startsWith("#") ? tomlText(key) : LENGTHS[key] || key} = ${tomlValue(key, value)}`)];
  const head = `[${path.map((key) => (/^[A-Za-z0-9_-]+$/.test(key) ? key : tomlText(key))).join(".")}]`;
  return [...(lines.length ? [[head, ...lines].join("\n")] : []), ...below.flatMap(([key, value]) => tomlTable([...path, key], value, []))];
}

function settingsText() {
  const tables = Object.entries(decided).sort().flatMap(([name, table]) => {
    const { holds, ...rest } = table;
    return tomlTable(["artworks", name], rest, [`decided_for = ${tomlText(artworkOf.get(name).sha256)}`]);
  });
  return [`# Decisions from the review sheet. Merge them: vectorprep decide FILE\n`, ...tables].join("\n") + "\n";
}

function showTray() {
  const tray = document.getElementById("tray");
  const names = Object.keys(decided);
  tray.hidden = !names.length;
  if (!names.length) return tray.replaceChildren();
  const isOpen = Boolean(tray.querySelector("pre"));
  const words = `${counted(countOf(decided), "decision")} on ${counted(names.length, "drawing")}. `;
  const shown = make("button", { type: "button", "aria-expanded": String(isOpen), onclick: toggle }, "Show the settings text");
  const said = make("p", { role: "status" }, words, "Save the file, run ", make("code", {}, "vectorprep decide decisions.toml DRAWINGS"), ", then run the same command again.");
  function toggle() {
    const open = tray.querySelector("pre");
    shown.setAttribute("aria-expanded", String(!open));
    if (open) open.remove();
    else tray.append(make("pre", { tabindex: "0", "aria-label": "Settings text" }, settingsText()));
  }
  tray.replaceChildren(make("div", { class: "row" }, said,
    make("button", { type: "button", onclick: save }, "Save decisions.toml"),
    make("button", { type: "button", onclick: (event) => copy(event.currentTarget) }, "Copy"),
    shown,
    make("button", { type: "button", onclick: discard }, "Discard all")));
  if (isOpen) tray.append(make("pre", { tabindex: "0", "aria-label": "Settings text" }, settingsText()));
}

function save() {
  const url = URL.createObjectURL(new Blob([settingsText()], { type: "application/toml" }));
  const link = make("a", { href: url, download: "decisions.toml", hidden: true });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 1000);
}

async function copy(button) {
  try {
    await navigator.clipboard.writeText(settingsText());
    button.textContent = "Copied";
  } catch {
    button.textContent = "Copy from the text shown";
    const tray = document.getElementById("tray");
    if (!tray.querySelector("pre")) tray.querySelector("[aria-expanded]").click();
  }
}

function discard() {
  const names = Object.keys(decided);
  decided = {};
  memory.write(saved, "");
  showTray();
  names.forEach(markDecided);
  if (opened) openBench(opened, { focus: true });
}
