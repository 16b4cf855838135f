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

  // Where the buckets stand in a drawing of the chart, or null where that cannot be told.
  function layOut(svg, plot) {
    if (!svg || !plot || ![plot.left, plot.right, plot.top, plot.bottom].every(isNumber)) return null;
    const width = plot.right - plot.left;
    if (width <= 0) return null;
    const span = data.to_s - data.from_s;
    const bucket = data.width_s > 0 && span > 0 ? data.width_s / span : 1 / count;
    const unitsWide = () => svg.viewBox.baseVal.width || plot.width || svg.clientWidth;
    const hair = document.createElementNS("http://www.w3.org/2000/svg", "line");
    hair.setAttribute("class", "hair");
    hair.setAttribute("y1", plot.top);
    hair.setAttribute("y2", plot.bottom);
    return {
      from: (plot.left / unitsWide()) * 100,
      span: (width / unitsWide()) * 100,
      isShown: () => svg.getClientRects().length > 0,
      at(event) {
        const box = svg.getBoundingClientRect();
        const unit = ((event.clientX - box.left) / box.width) * unitsWide();
        return unit >= plot.left && unit <= plot.right ? Math.floor((unit - plot.left) / width / bucket) : null;
      },
      putHair(i) {
        const x = Math.min(plot.right, plot.left + (i + 0.5) * bucket * width);
        hair.setAttribute("x1", x);
        hair.setAttribute("x2", x);
        if (!hair.isConnected) svg.append(hair);
      },
    };
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
  const probes = data && Array.isArray(data.probes) ? data.probes.filter((p) => p && Array.isArray(p.values)) : [];
  const count = Math.max(0, ...probes.map((probe) => probe.values.length));
  const chart = document.querySelector("figure.chart");
  const readings = document.querySelector(".readings");
  if (!chart || !readings || count === 0) return;
  const wide = layOut(chart.querySelector(".wide svg"), data.plot);
  const narrow = layOut(chart.querySelector(".narrow svg"), data.narrow_plot);
  if (!wide || !narrow) return;

  const time = readings.querySelector(".hint");
  const slider = readings.querySelector("input");
  const body = readings.querySelector("tbody");
  const hasLethality = probes.some((probe) => Array.isArray(probe.F));
  if (!hasLethality) readings.querySelector("thead th:last-child").remove();

  const rows = probes.map((probe) => {
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

  let isRead = false;

  function show(asked) {
    const i = Math.max(0, Math.min(count - 1, asked));
    isRead = true;
    slider.value = String(i);
    for (const drawing of [wide, narrow]) drawing.putHair(i);
    write(i);
  }

  function showAt(event) {
    const i = (wide.isShown() ? wide : narrow).at(event);
    if (i !== null) show(i);
  }

  const steps = { ArrowLeft: -1, ArrowRight: 1, PageDown: -10, PageUp: 10, Home: -Infinity, End: Infinity };

  slider.max = String(count - 1);
  for (const [name, drawing] of Object.entries({ wide, narrow })) {
    slider.style.setProperty(`--${name}-from`, `${drawing.from}%`);
    slider.style.setProperty(`--${name}-span`, `${drawing.span}%`);
  }
  slider.addEventListener("input", () => show(Number(slider.value)));
  chart.addEventListener("pointermove", showAt);
  chart.addEventListener("pointerdown", showAt);
  chart.addEventListener("keydown", (event) => {
    if (!(event.key in steps) || event.ctrlKey || event.altKey || event.metaKey) return;
    event.preventDefault();
    show(isRead ? Number(slider.value) + steps[event.key] : 0);
  });
  readings.hidden = false;
})();
