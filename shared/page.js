// Reads values off the chart: a line under the pointer, and what each probe showed at that time.
// The page says everything that matters without it.
(() => {
  "use strict";

  const isNumber = (value) => typeof value === "number" && Number.isFinite(value);

  function given() {
    try {
      return JSON.parse(document.getElementById("page-readings").textContent);
    } catch {
      return null;
    }
  }

  // Where the buckets stand in the chart, or null where that cannot be told.
  function layOut(data) {
    const plot = data && data.plot;
    const probes = data && Array.isArray(data.probes) ? data.probes.filter((p) => p && Array.isArray(p.values)) : [];
    const count = Math.max(0, ...probes.map((probe) => probe.values.length));
    if (!plot || count === 0) return null;
    if (![plot.left, plot.right, plot.top, plot.bottom].every(isNumber) || plot.right <= plot.left) return null;
    const span = data.to_s - data.from_s;
    const bucket = data.width_s > 0 && span > 0 ? data.width_s / span : 1 / count;
    const x = (i) => Math.min(plot.right, plot.left + (i + 0.5) * bucket * (plot.right - plot.left));
    const at = (unit) => Math.floor((unit - plot.left) / (plot.right - plot.left) / bucket);
    return { plot, probes, count, x, at };
  }

  const twoDigits = (number) => String(number).padStart(2, "0");

  function timeText(data, i) {
    if (Array.isArray(data.times)) return String(data.times[i] ?? "");
    const passed = (i + 0.5) * (data.width_s > 0 ? data.width_s : NaN);
    if (!isNumber(passed)) return "";
    const minutes = Math.floor((isNumber(data.clock_from_min) ? data.clock_from_min : 0) + passed / 60);
    const hours = Math.floor(minutes / 60);
    return `${isNumber(data.clock_from_min) ? twoDigits(hours % 24) : hours}:${twoDigits(minutes % 60)}`;
  }

  function valueText(value, unit) {
    return isNumber(value) ? `${value.toFixed(1)}${unit ? " " + unit : ""}` : "-";
  }

  // As the report's own figures: hundredths below 10 min.
  function lethalityText(minutes) {
    if (!isNumber(minutes)) return "-";
    if (minutes >= 1000) return `${Math.round(minutes).toLocaleString("en")} min`;
    return `${minutes.toFixed(minutes < 10 ? 2 : 1)} min`;
  }

  const data = given();
  const where = layOut(data);
  const chart = document.querySelector("figure.chart");
  const svg = chart && chart.querySelector("svg");
  const readings = document.querySelector(".readings");
  if (!where || !svg || !readings) return;

  const time = readings.querySelector(".hint");
  const slider = readings.querySelector("input");
  const body = readings.querySelector("tbody");
  const hasLethality = where.probes.some((probe) => Array.isArray(probe.F));
  if (!hasLethality) readings.querySelector("thead th:last-child").remove();

  const rows = where.probes.map((probe) => {
    const row = body.insertRow();
    const name = document.createElement("th");
    name.scope = "row";
    name.dir = "auto";
    name.textContent = String(probe.name ?? "");
    row.append(name);
    const cells = [row.insertCell(), ...(hasLethality ? [row.insertCell()] : [])];
    for (const cell of cells) cell.className = "short";
    return { probe, value: cells[0], lethality: cells[1] };
  });

  const hair = document.createElementNS("http://www.w3.org/2000/svg", "line");
  hair.setAttribute("class", "hair");
  hair.setAttribute("y1", where.plot.top);
  hair.setAttribute("y2", where.plot.bottom);

  function write(i) {
    const said = [timeText(data, i)];
    time.textContent = said[0];
    time.classList.add("time");
    body.parentElement.hidden = false;
    for (const { probe, value, lethality } of rows) {
      value.textContent = valueText(probe.values[i], data.unit);
      if (lethality) lethality.textContent = lethalityText(probe.F && probe.F[i]);
      said.push(`${probe.name} ${value.textContent}${lethality ? `, ${lethality.textContent}` : ""}`);
    }
    slider.setAttribute("aria-valuetext", said.join("; "));
  }

  const unitsWide = () => svg.viewBox.baseVal.width || where.plot.width || svg.clientWidth;

  function show(asked, follows) {
    const i = Math.max(0, Math.min(where.count - 1, asked));
    slider.value = String(i);
    hair.setAttribute("x1", where.x(i));
    hair.setAttribute("x2", where.x(i));
    if (!hair.isConnected) svg.append(hair);
    write(i);
    if (follows) chart.scrollLeft = (where.x(i) / unitsWide()) * svg.clientWidth - chart.clientWidth / 2;
  }

  function showAt(event) {
    const box = svg.getBoundingClientRect();
    const unit = ((event.clientX - box.left) / box.width) * unitsWide();
    if (unit >= where.plot.left && unit <= where.plot.right) show(where.at(unit), false);
  }

  const steps = { ArrowLeft: -1, ArrowRight: 1, PageDown: -10, PageUp: 10, Home: -Infinity, End: Infinity };

  slider.max = String(where.count - 1);
  slider.style.setProperty("--from", `${(where.plot.left / unitsWide()) * 100}%`);
  slider.style.setProperty("--wide", `${((where.plot.right - where.plot.left) / unitsWide()) * 100}%`);
  slider.addEventListener("input", () => show(Number(slider.value), true));
  chart.addEventListener("pointermove", showAt);
  chart.addEventListener("pointerdown", showAt);
  chart.addEventListener("keydown", (event) => {
    if (!(event.key in steps) || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    show(hair.isConnected ? Number(slider.value) + steps[event.key] : 0, true);
  });
  readings.hidden = false;
})();
