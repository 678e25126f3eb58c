// The questions that can be answered for one pairing: for the drawing, for it on this product, on this product colour.
function decisionsOf(artwork, strip, pair) {
  const form = make("div", { class: "decide" }, make("h5", {}, "Decide"));
  const { name } = artwork;
  if (artwork.answers.stale) {
    form.append(make("p", { class: "problem" }, icon("warning"), "These answers were given for another version of the drawing; accepted findings count again."),
      make("button", { type: "button", onclick: (event) => { decide(name, ["holds"], true); event.currentTarget.disabled = true; } }, "They still hold"));
  }
  form.append(make("div", { class: "columns" },
    group(`${artwork.title}, everywhere`, acceptOf(artwork, pair), lockOf(artwork), plateOf(artwork), whiteOf(artwork)),
    group(`On ${sheet.products[strip.product].short}`, sizeOf(artwork, strip), nudgeOf(artwork, strip), inksOn(artwork, strip)),
    group(`On ${sheet.products[strip.product].short} in ${sheet.blanks[pair.blank].name}`, colourOn(artwork, pair), offerOf(artwork, strip, pair))));
  return form;
}

function group(words, ...parts) {
  return make("fieldset", {}, make("legend", {}, words), ...parts);
}

function tick(words, isOn, onChange) {
  const box = make("input", { type: "checkbox", onchange: (event) => onChange(event.target.checked) });
  box.checked = isOn;
  return make("label", {}, box, words);
}

function choice(words, options, now, onChange) {
  const select = make("select", { onchange: (event) => onChange(event.target.value) },
    ...Object.entries(options).map(([value, text]) => make("option", { value }, text)));
  select.value = now in options ? now : "";
  return make("div", {}, make("label", {}, words, " ", select));
}

function acceptOf(artwork, pair) {
  const accepted = () => inForce(artwork.name, ["accept"], []);
  const found = [...artwork.findings, ...pair.findings].map((number) => sheet.findings[number]).filter((finding) => finding.severity !== "note").map((finding) => finding.check);
  const checks = [...new Set([...found, ...accepted()])];
  return checks.map((check) => make("div", {}, tick(`accept ${check}`, accepted().includes(check), (on) => decide(artwork.name, ["accept"], toggled(accepted(), check, on)))));
}

function lockOf(artwork) {
  if (!artwork.inks.length) return "";
  const locked = () => inForce(artwork.name, ["locked_inks"], []);
  const shown = artwork.inks.slice(0, 8);
  return make("details", { open: shown.some((ink) => locked().includes(ink.colour)) }, make("summary", {}, "Colours that never change"),
    ...shown.map((ink) => tick([dot(ink.colour), ` ${ink.word} ${ink.colour}`], locked().includes(ink.colour), (on) => decide(artwork.name, ["locked_inks"], toggled(locked(), ink.colour, on)))));
}

function has(artwork, check) {
  return artwork.findings.some((number) => sheet.findings[number].check === check);
}

function plateOf(artwork) {
  const parts = [];
  const set = (key) => (value) => decide(artwork.name, [key], value || undefined);
  if (artwork.background || has(artwork, "page-rectangle-behind-art"))
    parts.push(choice("Plate behind the art:", { "": "not decided", keep: "belongs there", drop: "take it away" }, inForce(artwork.name, ["background"], ""), set("background")));
  if (has(artwork, "ink-outside-page"))
    parts.push(choice("Art beyond the page:", { "": "not decided", clip: "cut off", recover: "print it too" }, inForce(artwork.name, ["page"], ""), set("page")));
  return parts;
}

function whiteOf(artwork) {
  if (!artwork.inks.some((ink) => ink.word === "white")) return "";
  return choice("Enclosed white is:", { "": "not decided", ink: "white ink", "see-through": "the cloth, see-through" }, inForce(artwork.name, ["enclosed_white"], ""),
    (value) => decide(artwork.name, ["enclosed_white"], value || undefined));
}

function sizeOf(artwork, strip) {
  if (!strip.printed_mm) return "";
  const path = ["on", strip.product, "width_mm"];
  const now = () => inForce(artwork.name, path, strip.printed_mm[0]);
  const said = make("span", { class: "quiet", role: "status" });
  const field = make("input", { type: "number", min: "5", max: "2000", step: "0.1", onchange: () => set(Number(field.value)) });
  function set(width) {
    if (!(width >= 5 && width <= 2000)) return show();
    decide(artwork.name, path, Math.abs(width - strip.printed_mm[0]) < 0.05 ? undefined : Math.round(width * 10) / 10);
    show();
  }
  function show() {
    field.value = now().toFixed(1);
    said.textContent = `wide: ${lengthWords(now())}, if the product has the room`;
  }
  show();
  return make("div", {}, make("div", { class: "row" }, make("label", {}, "Ink width in mm", field),
    make("button", { type: "button", onclick: () => set(now() * (1 - STEP_SIZE)) }, "smaller"),
    make("button", { type: "button", onclick: () => set(now() * (1 + STEP_SIZE)) }, "larger")), said);
}

function nudgeOf(artwork, strip) {
  const path = ["on", strip.product, "nudge_mm"];
  const given = artwork.answers.on?.[strip.product]?.nudge_mm ?? [0, 0];
  const now = () => inForce(artwork.name, path, given);
  const said = make("span", { class: "quiet", role: "status" });
  function move(right, down) {
    const [x, y] = [now()[0] + right, now()[1] + down];
    decide(artwork.name, path, x === given[0] && y === given[1] ? undefined : [x, y]);
    show();
  }
  function show() {
    const [x, y] = now();
    const words = [y ? `${lengthWords(Math.abs(y))} ${y < 0 ? "higher" : "lower"}` : "", x ? `${lengthWords(Math.abs(x))} to the ${x < 0 ? "left" : "right"}` : ""].filter(Boolean);
    said.textContent = words.length ? `moved ${words.join(", ")}` : "where the product's rule puts it";
  }
  show();
  const step = (words, right, down) => make("button", { type: "button", onclick: () => move(right, down) }, words);
  return make("div", {}, make("div", { class: "row" }, step("higher", 0, -STEP_MM), step("lower", 0, STEP_MM), step("left", -STEP_MM, 0), step("right", STEP_MM, 0)), said);
}

function inksOn(artwork, strip) {
  const path = ["on", strip.product, "treatments"];
  const now = inForce(artwork.name, path, null);
  const value = now === null ? "" : now.length === 0 ? "drawn" : now.join() === "keyline" ? "outline" : "";
  const lists = { drawn: [], outline: ["keyline"] };
  return choice("Inks that fade:", { "": "change as the settings say", drawn: "leave as drawn", outline: "outline instead" }, value, (picked) => decide(artwork.name, path, lists[picked]));
}

function colourOn(artwork, pair) {
  if (!artwork.inks.length) return "";
  const ink = make("select", {}, ...artwork.inks.map((one) => make("option", { value: one.colour }, `${one.word} ${one.colour}`)));
  const path = () => ["colours", pair.blank, ink.value];
  const own = make("input", { type: "color", value: ink.value });
  const said = make("span", { class: "quiet", role: "status" });
  const show = () => {
    own.value = inForce(artwork.name, path(), ink.value);
    said.textContent = own.value === ink.value ? "as drawn, unless it fades" : `${ink.value} will be printed as ${own.value} here`;
  };
  ink.addEventListener("change", show);
  own.addEventListener("change", () => { decide(artwork.name, path(), own.value === ink.value ? undefined : own.value); show(); });
  show();
  return make("div", {}, make("div", { class: "row" }, make("label", {}, "Print", ink), make("label", {}, "as", own)), said);
}

function offerOf(artwork, strip, pair) {
  const path = ["on", strip.product, "not_offered"];
  const now = () => inForce(artwork.name, path, []);
  return make("div", {}, tick(`do not offer ${sheet.blanks[pair.blank].name} in the shop`, now().includes(pair.blank), (on) => decide(artwork.name, path, toggled(now(), pair.blank, on))));
}
