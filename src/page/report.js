// The page is complete without this script; it adds the mode picker and values under the pointer.
(() => {
  "use strict";
  const data = JSON.parse(document.getElementById("fields").textContent);

  const unpack = (field) => {
    const bytes = Uint8Array.from(atob(field.values), (c) => c.charCodeAt(0));
    const view = new DataView(bytes.buffer);
    return Array.from({ length: bytes.length / 2 }, (_, k) => view.getInt16(2 * k, true));
  };

  // Bilinear between the known of the four points round a place given in units of the picture; NaN where most is
  // unknown.
  const valueAt = (field, x, y) => {
    field.numbers ??= unpack(field);
    const u = Math.min(Math.max((x - field.x) / field.dx, 0), field.columns - 1);
    const v = Math.min(Math.max((field.y - y) / field.dy, 0), field.rows - 1);
    const i = Math.min(Math.floor(u), field.columns - 2), j = Math.min(Math.floor(v), field.rows - 2);
    const s = u - i, t = v - j;
    let sum = 0, weight = 0;
    for (const [di, dj, w] of [[0, 0, (1 - s) * (1 - t)], [1, 0, s * (1 - t)], [0, 1, (1 - s) * t], [1, 1, s * t]]) {
      const number = field.numbers[i + di + field.columns * (j + dj)];
      if (number === -32768) continue;
      sum += w * number;
      weight += w;
    }
    return (weight < 0.5 ? NaN : sum / weight / 32000) * field.scale;
  };

  const pick = document.getElementById("pick");
  const cards = document.querySelector(".cards");
  const show = (mode) => {
    for (const part of document.querySelectorAll("[data-mode]")) part.hidden = mode !== "" && part.dataset.mode !== mode;
    for (const row of document.querySelectorAll("[data-row]")) row.classList.toggle("chosen", row.dataset.row === mode);
    cards.classList.toggle("one", mode !== "");
    document.getElementById("picked").textContent = mode === "" ? "" : "shapes and losses of mode " + mode;
  };
  pick.addEventListener("change", () => show(pick.value));
  document.getElementById("picker").hidden = false;

  const addProbe = (picture) => {
    const field = data.fields[picture.dataset.field];
    const probe = document.createElement("output");
    probe.className = "probe";
    picture.after(probe);
    const mark = document.createElementNS("http://www.w3.org/2000/svg", "path");
    mark.setAttribute("class", "scale");
    const box = picture.viewBox.baseVal;
    let at = { x: box.width / 2, y: box.height / 2 };
    const tell = () => {
      const value = valueAt(field, at.x, at.y);
      const micrometres = (u) => u.toFixed(1).replace("-", "\u2212");
      probe.textContent = "x " + micrometres(data.left + at.x / data.unitsPerMicrometre) + " \u00b5m, y " +
        micrometres(data.top - at.y / data.unitsPerMicrometre) + " \u00b5m: " +
        (Number.isNaN(value) ? "no film" : value.toPrecision(3).replace("-", "\u2212") + " " + field.unit);
      mark.setAttribute("d", "M" + (at.x - 7) + " " + at.y + "h14m-7 -7v14");
      picture.append(mark);
    };
    picture.addEventListener("pointermove", (event) => {
      at = new DOMPoint(event.clientX, event.clientY).matrixTransform(picture.getScreenCTM().inverse());
      tell();
    });
    picture.addEventListener("pointerleave", () => mark.remove());
    picture.addEventListener("blur", () => mark.remove());
    picture.addEventListener("keydown", (event) => {
      const step = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
      if (!step) return;
      event.preventDefault();
      const far = event.shiftKey ? 40 : 8;
      at = { x: Math.min(Math.max(at.x + far * step[0], 0), box.width), y: Math.min(Math.max(at.y + far * step[1], 0), box.height) };
      tell();
    });
    picture.setAttribute("tabindex", "0");
    picture.setAttribute("aria-roledescription", "picture; arrow keys read values");
  };
  document.querySelectorAll("svg[data-field]").forEach(addProbe);
})();
